"""The wrong move that tempts most, and what it allows.

How much a move tempts is coachbook's own measure, no source: of those that spoil the result one that takes
something tempts most, then a check, then a pawn's move, then a step of the king up the board, then any other.
Nobody is tempted to make something else than a queen, nor to put a piece (no pawn) where it can be taken
without taking anything. Of equals it is the first by name.
"""

import chess

from coachbook.endgame.probe import JudgedMove, after_move, keeping_moves, probe
from coachbook.exercises.board_facts import is_odd_promotion
from coachbook.exercises.solution_lines import purpose
from coachbook.model.worksheet import Saying
from coachbook.wording.exercises import say

Lure = tuple[str, str, str, str]
"""The wrong move and a reply that spoils it (SAN, or ""), what the reply does (a code, such as "takes rook",
or ""), and who wins then ("white", "black"), or "draw"."""

_PURPOSES = (
    "mate",
    "stalemate",
    "takes",
    "becomes",
    "faces",
    "in_the_way",
    "goes_for_pawn",
    "gives_check",
    "guards_pawn",
    "pawn_goes_on",
)


def find_lure(board: chess.Board, judged: tuple[JudgedMove, ...]) -> Lure | None:
    """The most tempting of the moves that spoil the result; None where none does, or none tempts.

    `judged` are all moves, the best first.
    """
    spoiling = (each for each in judged if each.outcome.result != judged[0].outcome.result)
    tempting = [each for each in spoiling if not _is_silly(board, each.move)]
    if not tempting:
        return None
    lure = min(tempting, key=lambda each: (_coolness(board, each.move), each.san))
    after = after_move(board, lure.move)
    if after.is_stalemate():
        return lure.san, "", "stalemate", "draw"
    if after.is_insufficient_material():
        return lure.san, "", "bare", "draw"
    reply = min(keeping_moves(after), key=lambda move: _reply_rank(after, move))
    return lure.san, after.san(reply), _does(after, reply), _then(after)


def lures(board: chess.Board, judged: tuple[JudgedMove, ...]) -> tuple[Saying, ...]:
    """The warning of the most tempting wrong move; () where no wrong move tempts."""
    lure = find_lure(board, judged)
    return () if lure is None else (say("lure", lure=lure),)


def _is_silly(board: chess.Board, move: chess.Move) -> bool:
    if is_odd_promotion(move):
        return True
    if board.is_capture(move) or board.piece_type_at(move.from_square) == chess.PAWN:
        return False
    after = after_move(board, move)
    return any(reply.to_square == move.to_square for reply in after.legal_moves)


def _coolness(board: chess.Board, move: chess.Move) -> int:
    """The less, the more it tempts."""
    man = board.piece_type_at(move.from_square)
    up = chess.square_rank(move.to_square) - chess.square_rank(move.from_square)
    signs = (
        board.is_capture(move),
        board.gives_check(move),
        man == chess.PAWN,
        man == chess.KING and (up > 0) == board.turn and up != 0,
    )
    return signs.index(True) if True in signs else len(signs)


def _reply_rank(board: chess.Board, reply: chess.Move) -> tuple[bool, int, str]:
    """Nobody makes a rook, bishop or knight where a queen does the same."""
    return is_odd_promotion(reply), _rank(board, reply), board.san(reply)


def _rank(board: chess.Board, reply: chess.Move) -> int:
    return next(map(_PURPOSES.index, purpose(board, reply)), len(_PURPOSES))


def _does(board: chess.Board, reply: chess.Move) -> str:
    """The code of what a reply is for, with the man where there is one."""
    name, fact = next(iter(purpose(board, reply).items()), ("", True))
    return name if fact is True else f"{name} {fact}"


def _then(board: chess.Board) -> str:
    moves = probe(board)
    if moves.moves is None:
        return "draw"
    return chess.COLOR_NAMES[board.turn == (moves.result > 0)]

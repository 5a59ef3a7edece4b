"""The fact `lure`: a tempting wrong move, what comes back, what that does and who wins then, on boards."""

import chess

from coachbook.endgame.probe import Result, after_move, probe
from coachbook.exercises.claims.claim_check import FactCheck, Scene, read_exactly
from coachbook.exercises.claims.move_claims import MOVE_FACTS
from coachbook.exercises.claims.step_facts import STEP_FACTS
from coachbook.model.worksheet import NOTHING, Fact, PlanStep

_PARTS = 4
_DONE = {**STEP_FACTS, "faces": MOVE_FACTS["faces"]}
"""What a reply may be said to do, each with its check."""


def _is_lure(scene: Scene, fact: Fact) -> bool:
    """Whether the move spoils the result, tempts as no other that does, and is met as it is said."""
    if not isinstance(fact, tuple) or len(fact) != _PARTS:
        return False
    san, reply, does, winner = fact
    board = scene.board
    move = read_exactly(board, san)
    if move is None or move != _most_tempting(board):
        return False
    after = after_move(board, move)
    if does in ("stalemate", "bare") and not reply:
        ended = after.is_stalemate() if does == "stalemate" else _is_bare(after)
        return ended and winner == "draw"
    answer = read_exactly(after, reply)
    if answer is None or winner not in (_winner(after), _winner(after_move(after, answer))):
        return False
    met = Scene(scene.exercise, scene.claim, after, PlanStep(reply, NOTHING, NOTHING))
    return _winner(after) == _winner(after_move(after, answer)) and (not does or _is_done(met, does))


def _is_done(met: Scene, does: str) -> bool:
    """Whether the reply does what a code says, such as "takes rook" or "gives_check"."""
    name, _, man = does.partition(" ")
    return name in _DONE and _DONE[name](met, man or True)


def _most_tempting(board: chess.Board) -> chess.Move | None:
    """Of the moves that spoil the result: one that takes, else a check, else a pawn's move, else a step of
    the king up the board, else any; the first by name. None of those that nobody would make."""
    before = probe(board).result
    moves = [move for move in board.legal_moves if not _is_thoughtless(board, move)]
    spoiling = [move for move in moves if -probe(after_move(board, move)).result != before]
    for tempts in (_takes, _checks, _pushes, _steps_up, _is_any):
        tempting = [move for move in spoiling if tempts(board, move)]
        if tempting:
            return min(tempting, key=board.san)
    return None


def _is_thoughtless(board: chess.Board, move: chess.Move) -> bool:
    """It makes a rook, bishop or knight, or puts a piece, no pawn, where it can be taken for nothing."""
    pawn = move.from_square in board.pieces(chess.PAWN, board.turn)
    if pawn or _takes(board, move):
        return move.promotion in (chess.ROOK, chess.BISHOP, chess.KNIGHT)
    return move.to_square in [reply.to_square for reply in after_move(board, move).legal_moves]


def _takes(board: chess.Board, move: chess.Move) -> bool:
    return len(after_move(board, move).piece_map()) < len(board.piece_map())


def _checks(board: chess.Board, move: chess.Move) -> bool:
    return after_move(board, move).is_check()


def _pushes(board: chess.Board, move: chess.Move) -> bool:
    return move.from_square in board.pieces(chess.PAWN, board.turn)


def _steps_up(board: chess.Board, move: chess.Move) -> bool:
    before, after = move.from_square // 8, move.to_square // 8
    return move.from_square == board.king(board.turn) and (after > before if board.turn else after < before)


def _is_any(_board: chess.Board, _move: chess.Move) -> bool:
    return True


def _is_bare(board: chess.Board) -> bool:
    """Kings alone, or with one knight, or with bishops on squares of one colour."""
    others = {at: man.piece_type for at, man in board.piece_map().items() if man.piece_type != chess.KING}
    if {*others.values()} <= {chess.BISHOP}:
        return len({sum(divmod(square, 8)) % 2 for square in others}) <= 1
    return [*others.values()] == [chess.KNIGHT]


def _winner(board: chess.Board) -> str:
    result = probe(board).result
    if result is Result.DRAW:
        return "draw"
    return "white" if board.turn == (result is Result.WIN) else "black"


LURE_FACTS: dict[str, FactCheck] = {"lure": _is_lure}

"""What kinds look at on a board: a side's moves and what they do, its men, the squares of a pawn."""

from collections.abc import Iterable
from dataclasses import dataclass
from itertools import islice

import chess
import numpy as np
from numpy.typing import NDArray

from coachbook.endgame.census import Survey
from coachbook.endgame.probe import after_move
from coachbook.method.positions import Positions
from coachbook.method.verdicts import find_reason
from coachbook.model.claims import ReasonIs
from coachbook.model.facts import Slip
from coachbook.model.position import Arrow
from coachbook.model.worksheet import Answer, AnswerForm, Fact


def positions_of(survey: Survey, cells: NDArray[np.intp]) -> Positions:
    """The positions of cells (see `Survey.cells`) of an ending in which Black has a lone king."""
    men = [cells[:, man.axis] for man in survey.space.men]
    columns = (survey.space.kings[cells[:, 0]], cells[:, -1], *men)
    return Positions(survey.space.material.white, [column.astype(np.int8) for column in columns])


def thinned(cells: NDArray[np.intp], most: int) -> NDArray[np.intp]:
    """At most `most` of the cells, evenly spread."""
    if len(cells) <= most:
        return cells
    return cells[np.arange(most) * len(cells) // most]


def square_of_pawn(pawn: chess.Square) -> tuple[chess.Square, ...]:
    """The square from the pawn to its last rank, on both wings, within the board.

    A pawn on its first square may go two steps: it is counted as on the next.
    """
    file, rank = chess.square_file(pawn), max(chess.square_rank(pawn), 2)
    side = 7 - rank
    files = range(max(0, file - side), min(7, file + side) + 1)
    return tuple(chess.square(f, r) for r in range(rank, 8) for f in files)


_SEVENTH = 6


def key_squares(pawn: chess.Square) -> tuple[chess.Square, ...]:
    """Of a white pawn, in order from a1; none of one on the last two ranks."""
    file, rank = chess.square_file(pawn), chess.square_rank(pawn)
    if rank >= _SEVENTH:
        return ()
    if file in (0, 7):
        return tuple(chess.square(1 if file == 0 else 6, r) for r in (6, 7))
    ranks = (rank + 2,) if rank < 4 else (rank + 1, rank + 2)
    return tuple(chess.square(f, r) for r in ranks for f in (file - 1, file, file + 1))


_NAMES = {piece: chess.piece_name(piece) for piece in chess.PIECE_TYPES}


@dataclass(frozen=True, slots=True)
class Outcomes:
    """What the legal moves do at once: those that end the game, in order of their names.

    `other_checks` and `one_reply` count moves that look like it: checks that are no mate, and
    moves without check after which the other side has just one legal move.
    """

    mates: tuple[chess.Move, ...]
    stalemates: tuple[chess.Move, ...]
    other_checks: int
    one_reply: int


def outcomes(board: chess.Board) -> Outcomes:
    """What all legal moves of the side to move do."""
    mates, stalemates, other_checks, one_reply = [], [], 0, 0
    for move in tuple(board.legal_moves):
        board.push(move)
        replies = sum(1 for _ in islice(board.legal_moves, 2))
        match board.is_check(), replies:
            case True, 0:
                mates.append(move)
            case True, _:
                other_checks += 1
            case False, 0:
                stalemates.append(move)
            case False, 1:
                one_reply += 1
        board.pop()
    return Outcomes(
        tuple(sorted(mates, key=board.san)),
        tuple(sorted(stalemates, key=board.san)),
        other_checks,
        one_reply,
    )


def arrow(move: chess.Move) -> Arrow:
    """The move as an arrow of an answer."""
    return Arrow(move.from_square, move.to_square)


WORTH = {chess.PAWN: 1, chess.KNIGHT: 3, chess.BISHOP: 3, chess.ROOK: 5, chess.QUEEN: 9, chess.KING: 99}
"""Common practice, no source; of a king that takes, only that he is never taken back."""


def worth(board: chess.Board, side: chess.Color) -> int:
    """What all men of a side are worth."""
    return sum(WORTH[man.piece_type] for man in board.piece_map().values() if man.color == side)


def is_odd_promotion(move: chess.Move) -> bool:
    """Whether a pawn becomes something else than a queen."""
    return move.promotion not in (None, chess.QUEEN)


def answer_squares(squares: Iterable[chess.Square], missed: str = Slip.MISSED_SQUARE) -> Answer:
    """All of these squares are to be marked, in this order on the key; `missed` is the slip of too few."""
    told = tuple(map(chess.square_name, squares))
    return Answer(AnswerForm.SQUARES, told, wrong=Slip.WRONG_SQUARE, missed=missed)


def names(moves: tuple[chess.Move, ...]) -> frozenset[str]:
    """Moves as claims name them (UCI)."""
    return frozenset(move.uci() for move in moves)


def reasons(board: chess.Board, move: chess.Move | None = None) -> tuple[ReasonIs, ...]:
    """The claim why the board, or what `move` leads to, is won or drawn; () where no verdict tells."""
    after = board.copy(stack=False)
    if move is not None:
        after.push(move)
    reason = find_reason(after)
    return (ReasonIs(reason, move.uci() if move else ""),) if reason else ()


def side_name(side: chess.Color) -> str:
    """The code of a side: "white" or "black"."""
    return chess.COLOR_NAMES[side]


def reasons_for_mate(board: chess.Board, move: chess.Move) -> dict[str, Fact]:
    """Why a mating move is mate, as facts: which men give check, which squares only the king guards."""
    after = after_move(board, move)
    king = after.king(after.turn)
    if king is None or not after.is_checkmate():
        raise ValueError(f"{move} is not mate in {board.fen()}")
    checkers = tuple(_NAMES[after.piece_type_at(square) or chess.KING] for square in after.checkers())
    return {"checkers": checkers, "guarded": _guarded_by_king(after, king)}


def _guarded_by_king(after: chess.Board, king: chess.Square) -> tuple[str, ...]:
    """Squares around the mated king, or of a man that he could take, that only the other king guards."""
    other = after.king(not after.turn)
    without_lone = after.copy(stack=False)
    without_lone.remove_piece_at(king)
    around = chess.SquareSet(chess.BB_KING_ATTACKS[king])
    return tuple(
        chess.square_name(square)
        for square in around
        if set(without_lone.attackers(not after.turn, square)) == {other}
    )


def spoiling_moves(board: chess.Board, piece: chess.Square) -> tuple[chess.Move, ...]:
    """The moves of a piece after which it can be taken, or it is stalemate."""
    found = []
    after = board.copy(stack=False)
    for move in board.legal_moves:
        if move.from_square == piece:
            after.push(move)
            if after.is_stalemate() or any(after.is_capture(reply) for reply in after.legal_moves):
                found.append(move)
            after.pop()
    return tuple(found)

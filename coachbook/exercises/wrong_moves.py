"""What a wrong move is called: by the first of these that is true of it.

1. where stalemates are asked for, that it is none: nobody means to play such a move;
2. it stalemates, or it loses a man: what a child sees at once when a coach plays it;
3. where the opposition is asked for, that it takes none: this says why a result is thrown away;
4. it throws a win or a draw away, by the exact tables;
5. where the quickest mate is asked for, by how many moves it is slower, by the tables;
6. where the exercise is about the box, that it grew, or that a smaller one was missed;
7. what the exercise itself calls a wrong answer.

The tables are asked only from step 4 on. The box is the one that the exercise means: the queen's by
walls, the rook's by region (see `coachbook.method.box`).
"""

import chess

from coachbook.endgame.probe import Result, probe
from coachbook.endgame.tables import UnknownEndingError
from coachbook.method.bitboards import Numbers
from coachbook.method.border import from_board
from coachbook.method.box import region_size, walls_size
from coachbook.method.positions import Feature
from coachbook.method.queen_box import QUEEN_BOX
from coachbook.method.rook_box import ROOK_BOX
from coachbook.model.claims import Claim, MethodRule, SmallestBox
from coachbook.model.exercise import Exercise
from coachbook.model.slips import Slip, slower

_SAYS_ENOUGH = (Slip.NO_OPPOSITION, Slip.WIN_THROWN_AWAY, Slip.DRAW_THROWN_AWAY)
_WORTH = {chess.PAWN: 1, chess.KNIGHT: 3, chess.BISHOP: 3, chess.ROOK: 5, chess.QUEEN: 9, chess.KING: 99}
"""Common practice, no source; of a king that takes, only that he is never taken back."""
_MEASURES: dict[str, Feature[Numbers]] = {
    "walls": walls_size,
    "region": region_size,
    QUEEN_BOX.name: walls_size,
    ROOK_BOX.name: region_size,
}


def name_wrong_move(exercise: Exercise, board: chess.Board, move: chess.Move) -> str:
    """The slip of a legal move in the exercise's position that is no right answer (see above)."""
    own = exercise.answer.wrong
    if own == Slip.NOT_STALEMATE:
        return own
    after = _after(board, move)
    if after.is_stalemate():
        return Slip.STALEMATE
    if any(after.is_capture(reply) and _gains(after, reply) for reply in after.legal_moves):
        return Slip.PIECE_LOST
    if own in _SAYS_ENOUGH:
        return own
    return _name_by_tables(board, after, own) or _name_by_box(exercise, board, after) or own


def name_missing(exercise: Exercise) -> str:
    """The slip of an answer that says "none", or not enough."""
    missed = exercise.answer.missed or exercise.answer.wrong
    return Slip.MISSED_SMALLER_BOX if missed == Slip.NOT_BEST_BOX else missed


def _after(board: chess.Board, move: chess.Move) -> chess.Board:
    after = board.copy(stack=False)
    after.push(move)
    return after


def _gains(board: chess.Board, capture: chess.Move) -> bool:
    """Whether a capture takes a man for nothing, or for a lesser one."""
    taken = board.piece_type_at(capture.to_square) or chess.PAWN  # en passant
    taker = board.piece_type_at(capture.from_square) or chess.KING
    if _WORTH[taken] > _WORTH[taker]:
        return True
    return not any(reply.to_square == capture.to_square for reply in _after(board, capture).legal_moves)


def _name_by_tables(board: chess.Board, after: chess.Board, own: str) -> str:
    """WIN_THROWN_AWAY, DRAW_THROWN_AWAY, by how much it is slower, or "": the tables know no slip."""
    try:
        before, reached = probe(board), probe(after)
    except UnknownEndingError:
        return ""
    if -reached.result < before.result:
        return Slip.WIN_THROWN_AWAY if before.result is Result.WIN else Slip.DRAW_THROWN_AWAY
    if own == Slip.NOT_QUICKEST and before.moves is not None and reached.moves is not None:
        return slower(reached.moves + 1 - before.moves)
    return ""


def _name_by_box(exercise: Exercise, board: chess.Board, after: chess.Board) -> str:
    """BOX_GREW, MISSED_SMALLER_BOX, or "": it is not about a box, or the box is small enough.

    A smaller box is missed if a right move of the piece makes it.
    """
    measure = next(filter(None, map(_measure, exercise.claims)), None)
    if measure is None:
        return ""
    before, made = (measure(from_board(each))[0] for each in (board, after))
    if made > before:
        return Slip.BOX_GREW
    right = [board.parse_san(san) for san in exercise.answer.accepted]
    shrinking = [move for move in right if board.piece_type_at(move.from_square) != chess.KING]
    if any(measure(from_board(_after(board, move)))[0] < made for move in shrinking):
        return Slip.MISSED_SMALLER_BOX
    return ""


def _measure(claim: Claim) -> Feature[Numbers] | None:
    """How the box of a claim is measured; None if it speaks of none."""
    match claim:
        case SmallestBox():
            return _MEASURES[claim.measure]
        case MethodRule():
            return _MEASURES.get(claim.method)
        case _:
            return None

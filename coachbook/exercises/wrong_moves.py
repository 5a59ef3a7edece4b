"""What a wrong move is called: by the first of these that is true of it.

1. where stalemates are asked for, that it is none: nobody means to play such a move;
2. it stalemates, or it loses a piece (a pawn is none): what a child sees at once when a coach plays it;
3. where the opposition is asked for, that it takes none, not on a diagonal either: this says why a
   result is thrown away;
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

_THROWN = (Slip.WIN_THROWN_AWAY, Slip.DRAW_THROWN_AWAY)
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
    if _loses_piece(board, move, after):
        return Slip.PIECE_LOST
    if own == Slip.NO_OPPOSITION and not _in_opposition(after):
        return own
    if own in _THROWN:
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


def _loses_piece(board: chess.Board, move: chess.Move, after: chess.Board) -> bool:
    """Whether a piece (no pawn) can be taken after a move that brought in less."""
    gained = _worth_at(board, move.to_square)
    return any(_lost_by(after, reply) > gained for reply in after.generate_legal_captures())


def _lost_by(board: chess.Board, capture: chess.Move) -> int:
    """What a capture of a piece costs who loses it, if he takes back where he can; 0 for a pawn."""
    taken, taker = (_worth_at(board, square) for square in (capture.to_square, capture.from_square))
    if taken <= _WORTH[chess.PAWN]:
        return 0
    back = any(reply.to_square == capture.to_square for reply in _after(board, capture).legal_moves)
    return taken - taker if back else taken


def _worth_at(board: chess.Board, square: chess.Square) -> int:
    return _WORTH[kind] if (kind := board.piece_type_at(square)) else 0


def _in_opposition(board: chess.Board) -> bool:
    """Whether the kings stand with one square between them, on a rank, a file or a diagonal."""
    one, other = board.king(chess.WHITE), board.king(chess.BLACK)
    if one is None or other is None:
        return False
    apart = {abs(of(one) - of(other)) for of in (chess.square_file, chess.square_rank)}
    return apart in ({0, 2}, {2})


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

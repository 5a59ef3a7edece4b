"""What coachbook teaches: the methods by name, and the endings taught in stages."""

import chess

from coachbook.method.bishop_and_knight import BISHOP_AND_KNIGHT
from coachbook.method.border import attacker, find_ending, fits
from coachbook.method.hold_king_and_pawn import HOLD_KING_AND_PAWN
from coachbook.method.king_and_pawn import KING_AND_PAWN
from coachbook.method.queen_box import QUEEN_BOX
from coachbook.method.rook_box import ROOK_BOX
from coachbook.method.rules import Method
from coachbook.method.stages import Course
from coachbook.method.two_bishops import TWO_BISHOPS
from coachbook.method.two_majors import TWO_MAJORS

_METHODS = (
    TWO_MAJORS,
    QUEEN_BOX,
    ROOK_BOX,
    KING_AND_PAWN,
    HOLD_KING_AND_PAWN,
)
"""In teaching order."""


def method_names() -> tuple[str, ...]:
    """All names, in teaching order."""
    return tuple(method.name for method in _METHODS)


def find_method(name: str) -> Method | None:
    """The method with this name, or None."""
    return next((method for method in _METHODS if method.name == name), None)


def methods_for(board: chess.Board) -> tuple[Method, ...]:
    """The methods made for this ending with this side to move."""
    return tuple(method for method in _METHODS if fits(board, method))


COURSES: tuple[Course, ...] = (TWO_BISHOPS, BISHOP_AND_KNIGHT)


def course_for(board: chess.Board) -> Course | None:
    """The course made for the men on a legal board with the attacker to move."""
    if not board.is_valid() or board.turn != attacker(board):
        return None
    return next((course for course in COURSES if course.pieces == find_ending(board)), None)

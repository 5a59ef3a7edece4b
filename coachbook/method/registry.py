"""The methods that coachbook teaches, by name."""

import chess

from coachbook.method.border import fits
from coachbook.method.hold_king_and_pawn import HOLD_KING_AND_PAWN
from coachbook.method.king_and_pawn import KING_AND_PAWN
from coachbook.method.queen_box import QUEEN_BOX
from coachbook.method.rook_box import ROOK_BOX
from coachbook.method.rules import Method
from coachbook.method.two_majors import TWO_MAJORS

_METHODS = (TWO_MAJORS, QUEEN_BOX, ROOK_BOX, KING_AND_PAWN, HOLD_KING_AND_PAWN)


def method_names() -> tuple[str, ...]:
    """All names, in teaching order."""
    return tuple(method.name for method in _METHODS)


def find_method(name: str) -> Method | None:
    """The method with this name, or None."""
    return next((method for method in _METHODS if method.name == name), None)


def methods_for(board: chess.Board) -> tuple[Method, ...]:
    """The methods made for this ending with this side to move."""
    return tuple(method for method in _METHODS if fits(board, method))

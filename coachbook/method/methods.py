"""What coachbook teaches: the methods by name, and the endings taught in stages."""

from functools import cache
from importlib import import_module

import chess

from coachbook.method.bishop_and_knight import BISHOP_AND_KNIGHT
from coachbook.method.border import attacker, find_ending, fits
from coachbook.method.rules import Method
from coachbook.method.stages import Course
from coachbook.method.teaching_order import METHOD_FILES
from coachbook.method.two_bishops import TWO_BISHOPS


@cache
def all_methods() -> tuple[Method, ...]:
    """In teaching order."""
    return tuple(getattr(import_module(f"coachbook.method.{file}"), file.upper()) for file in METHOD_FILES)


def find_method(name: str) -> Method | None:
    """The method with this name, or None."""
    return next((method for method in all_methods() if method.name == name), None)


def methods_for(board: chess.Board) -> tuple[Method, ...]:
    """The methods made for this ending with this side to move."""
    return tuple(method for method in all_methods() if fits(board, method))


COURSES: tuple[Course, ...] = (TWO_BISHOPS, BISHOP_AND_KNIGHT)


def course_for(board: chess.Board) -> Course | None:
    """The course made for the men on a legal board with the attacker to move."""
    if not board.is_valid() or board.turn != attacker(board):
        return None
    return next((course for course in COURSES if course.pieces == find_ending(board)), None)

"""Which endings are taught in stages."""

import chess

from coachbook.method.bishop_and_knight import BISHOP_AND_KNIGHT
from coachbook.method.border import attacker, find_ending
from coachbook.method.stages import Course
from coachbook.method.two_bishops import TWO_BISHOPS

COURSES: tuple[Course, ...] = (TWO_BISHOPS, BISHOP_AND_KNIGHT)


def find_course(name: str) -> Course | None:
    """The course of this name, such as "two-bishops"."""
    return next((course for course in COURSES if course.name == name), None)


def course_for(board: chess.Board) -> Course | None:
    """The course made for the men on a legal board with the attacker to move."""
    if not board.is_valid() or board.turn != attacker(board):
        return None
    return next((course for course in COURSES if course.pieces == find_ending(board)), None)

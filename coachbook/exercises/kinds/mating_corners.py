"""The two corners to which the lone king must be driven by bishop and knight: those of the bishop's colour.

Difficulty: 6, 4 for each step that a king would need from the bishop to the nearer of them, 10 more where
the lone king is nearer to one of the other corners.
"""

import chess
import numpy as np
from numpy.typing import NDArray

from coachbook.endgame.census import Survey
from coachbook.exercises.board_facts import answer_squares, thinned
from coachbook.exercises.kind import Draft, Kind, clamp
from coachbook.model.claims import BishopCorners
from coachbook.model.position import Marks
from coachbook.model.worksheet import Solution
from coachbook.wording.exercises import say

_MOST = 20_000
_DARK, _LIGHT = (chess.A1, chess.H8), (chess.H1, chess.A8)


def _candidates(survey: Survey) -> NDArray[np.intp]:
    if survey.space.material.name != "KBNK":
        return survey.cells(survey.space.empty())
    cells = survey.cells(survey.where(lambda values: values > 0), 2 * _MOST)
    (bishop,) = (cells[:, man.axis] for man in survey.space.men if man.letter == "B")
    return thinned(cells[~np.isin(bishop, (*_DARK, *_LIGHT))], _MOST)


def _draft(board: chess.Board) -> Draft:
    (bishop,) = board.pieces(chess.BISHOP, chess.WHITE)
    light = bool(chess.BB_SQUARES[bishop] & chess.BB_LIGHT_SQUARES)
    corners, others = (_LIGHT, _DARK) if light else (_DARK, _LIGHT)
    lone = board.king(chess.BLACK) or 0
    astray = _steps(lone, others) < _steps(lone, corners)
    return Draft(
        task=say("task_mating_corners"),
        task_marks=Marks(),
        answer=answer_squares(corners),
        solution=Solution(
            marks=Marks(shaded=corners, outlined=corners),
            text=say("corners_of_bishop", bishop_colour="light" if light else "dark"),
            watch_for=(say("nearest_corner"),),
        ),
        claims=(BishopCorners(bishop, frozenset(corners)),),
        difficulty=clamp(6 + 4 * _steps(bishop, corners) + 10 * astray),
    )


def _steps(square: chess.Square, corners: tuple[chess.Square, ...]) -> int:
    """How many steps of a king it is to the nearest of the corners."""
    return min(chess.square_distance(square, corner) for corner in corners)


KIND = Kind("the corners to mate in", _candidates, _draft)

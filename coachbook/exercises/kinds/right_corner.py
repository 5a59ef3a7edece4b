"""The right or the wrong bishop: whether it can reach the corner ahead of a pawn on the edge.

Asked where the result goes with it: White wins with the right bishop, and with the wrong one it is a
draw. As many positions of either sort.

Difficulty: 8, 3 for each step that a king would need from the bishop to the corner, and 2 for each that
the pawn has to go: the further away, the harder to see the colours together.
"""

import chess
import numpy as np
from numpy.typing import NDArray

from coachbook.endgame.census import Survey
from coachbook.endgame.space import WHITE
from coachbook.exercises.board_facts import thinned
from coachbook.exercises.kind import Draft, Kind, clamp
from coachbook.exercises.themes import narrowed
from coachbook.model.claims import RightBishop
from coachbook.model.facts import Slip
from coachbook.model.position import Marks
from coachbook.model.worksheet import Answer, AnswerForm, Solution
from coachbook.wording.exercises import say

_MOST = 10_000
_LOOKED_AT = 100_000
"""Positions with a pawn on the edge, spread evenly over all of them."""
_OPTIONS = ("right", "wrong")
_ON_EDGE = (("pawn_files", "a"),)


def _candidates(survey: Survey) -> NDArray[np.intp]:
    if survey.space.material.name != "KBPK":
        return survey.cells(survey.space.empty())
    cells = survey.cells(narrowed(survey, _ON_EDGE).legal, _LOOKED_AT)
    bishop, pawn = (cells[:, man.axis] for man in survey.space.men)
    corner = 56 + pawn % 8
    asked = bishop != corner
    right = (bishop % 8 + bishop // 8) % 2 == (corner % 8 + corner // 8) % 2
    value = survey.values[WHITE][tuple(cells.T)]
    sorts = (asked & right & (value > 0), asked & ~right & (value == 0))
    return np.concatenate([thinned(cells[sort], _MOST) for sort in sorts])


def _draft(board: chess.Board) -> Draft:
    (bishop,), (pawn,) = (board.pieces(man, chess.WHITE) for man in (chess.BISHOP, chess.PAWN))
    corner = chess.square(chess.square_file(pawn), 7)
    light = bool(chess.BB_SQUARES[corner] & chess.BB_LIGHT_SQUARES)
    right = light == bool(chess.BB_SQUARES[bishop] & chess.BB_LIGHT_SQUARES)
    return Draft(
        task=say("task_right_corner"),
        task_marks=Marks(),
        answer=Answer(
            AnswerForm.CHOICE, (_OPTIONS[0 if right else 1],), options=_OPTIONS, wrong=Slip.MISJUDGED
        ),
        solution=Solution(
            marks=Marks(outlined=(corner,)),
            text=say(
                "right_bishop" if right else "wrong_bishop",
                pawn_corner=chess.square_name(corner),
                corner_colour="light" if light else "dark",
            ),
            watch_for=(say("corner_first"),),
        ),
        claims=(RightBishop(bishop, pawn, right),),
        difficulty=clamp(8 + 3 * chess.square_distance(bishop, corner) + 2 * (7 - chess.square_rank(pawn))),
    )


KIND = Kind("the right or the wrong bishop", _candidates, _draft)

"""Give mate: a move that mates at once; any one of them will do.

Difficulty: 10, 4 more for each check that is no mate, 8 for each move that stalemates, 5 less for each
further mate.
"""

import chess
import numpy as np
from numpy.typing import NDArray

from coachbook.endgame.census import Survey
from coachbook.exercises.board_facts import arrow, names, outcomes
from coachbook.exercises.kind import Draft, Kind, clamp
from coachbook.model.claims import FastestMates
from coachbook.model.position import Marks, Position
from coachbook.model.slips import Slip
from coachbook.model.worksheet import Answer, AnswerForm, Plan, PlanStep, Solution
from coachbook.wording.exercises import say

_MATE_IN_1 = 126


def _candidates(survey: Survey) -> NDArray[np.intp]:
    return survey.cells(survey.where(lambda values: values == _MATE_IN_1))


def _draft(board: chess.Board) -> Draft:
    found = outcomes(board)
    sans = tuple(board.san(move) for move in found.mates)
    step = PlanStep(sans[0], say("mate_if_you_can"), say("it_is_mate"))
    return Draft(
        task=say("task_give_mate"),
        task_marks=Marks(),
        answer=Answer(
            AnswerForm.MOVES, sans, all_needed=False, wrong=Slip.NOT_QUICKEST, missed=Slip.MISSED_MATE
        ),
        solution=Solution(
            marks=Marks(arrows=tuple(dict.fromkeys(map(arrow, found.mates)))),
            text=say("white_mates", mates_in=1),
            plan=Plan(Position(board.fen()), say("by_rules_of_chess"), (step,)),
            watch_for=(),
        ),
        claims=(FastestMates(1, names(found.mates)),),
        difficulty=clamp(10 + 4 * found.other_checks + 8 * len(found.stalemates) - 5 * (len(sans) - 1)),
    )


KIND = Kind("give mate", _candidates, _draft)

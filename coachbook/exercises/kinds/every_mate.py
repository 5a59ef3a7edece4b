"""Find every mate in one: all moves that give mate at once, none missing.

Difficulty: 20, where the only check is mate; 6 more for each further mate to be found, 2 for each check
that is no mate (up to 16) and 3 for each move that stalemates (up to 12), which lure a student off.
"""

import chess
import numpy as np
from numpy.typing import NDArray

from coachbook.endgame.census import Survey
from coachbook.exercises.board_facts import Outcomes, arrow, names, outcomes, reasons_for_mate
from coachbook.exercises.kind import Draft, Kind, clamp
from coachbook.model.claims import AllMates, AllStalemates, MateIn
from coachbook.model.facts import Slip
from coachbook.model.position import Marks, Position
from coachbook.model.worksheet import Answer, AnswerForm, Plan, PlanStep, Saying, Solution
from coachbook.wording.exercises import say

_MATE_IN_1, _MATED = 126, -127
"""How the tables write it, see `endgame.retrograde`."""
_MOST_MATES = 4
"""More don't fit on an answer line, nor in a student's patience."""
_MOST_SHOWN = 4
_ENOUGH = 50
"""If there are so many positions with several mates, as many with one are enough."""


def _candidates(survey: Survey) -> NDArray[np.intp]:
    """As many positions with one mate as with several, where there are enough of those."""
    mating = survey.where(lambda values: values == _MATE_IN_1)
    single = mating & survey.with_one_move(lambda values: values == _MATED)
    several = survey.cells(mating & ~single)
    return np.concatenate([several, survey.cells(single, len(several) if len(several) >= _ENOUGH else None)])


def _draft(board: chess.Board) -> Draft | None:
    found = outcomes(board)
    if len(found.mates) > _MOST_MATES:
        return None
    sans = tuple(board.san(move) for move in found.mates)
    return Draft(
        task=say("task_every_mate"),
        task_marks=Marks(),
        answer=Answer(AnswerForm.MOVES, sans, wrong=Slip.NOT_MATE, missed=Slip.MISSED_MATE),
        solution=Solution(
            marks=Marks(arrows=tuple(dict.fromkeys(map(arrow, found.mates)))),
            text=say("no_other_mate" if len(sans) > 1 else "only_mate"),
            plan=_plan(board, found.mates[0]),
            watch_for=_warnings(board, found),
        ),
        claims=(MateIn(1), AllMates(names(found.mates)), AllStalemates(names(found.stalemates))),
        difficulty=clamp(
            20 + 6 * (len(sans) - 1) + min(16, 2 * found.other_checks) + min(12, 3 * len(found.stalemates))
        ),
    )


def _plan(board: chess.Board, mate: chess.Move) -> Plan:
    step = PlanStep(
        board.san(mate), say("mate_if_you_can"), say("explained_mate", **reasons_for_mate(board, mate))
    )
    return Plan(Position(board.fen()), say("by_rules_of_chess"), (step,))


def _warnings(board: chess.Board, found: Outcomes) -> tuple[Saying, ...]:
    warnings = []
    if found.stalemates:
        sans = tuple(board.san(move) for move in found.stalemates)
        warnings.append(say("stalemates", stalemates=sans[:_MOST_SHOWN], more=len(sans) > _MOST_SHOWN))
    if found.other_checks:
        warnings.append(say("checks"))
    return tuple(warnings)


KIND = Kind("find every mate in one", _candidates, _draft)

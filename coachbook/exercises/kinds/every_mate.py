"""Find every mate in one: all moves that give mate at once, none missing.

Difficulty: 15, and 10 more for each further mate to be found, 4 for each check that is no
mate, 8 for each move that stalemates; these are what lures a student off.
"""

import chess
import numpy as np
from numpy.typing import NDArray

from coachbook.endgame.census import Survey
from coachbook.exercises.kind import Draft, Kind, clamp
from coachbook.exercises.moves import arrow, joined, outcomes, reasons_for_mate
from coachbook.model.claims import AllMates, MateIn
from coachbook.model.exercise import Answer, AnswerForm, Plan, PlanStep, Solution
from coachbook.model.marks import Marks
from coachbook.model.position import Position
from coachbook.model.slips import Slip

_MATE_IN_1 = 126
_MOST_MATES = 4
_MOST_SHOWN = 4


def _candidates(survey: Survey) -> NDArray[np.intp]:
    return survey.cells(survey.where(lambda values: values == _MATE_IN_1))


def _draft(board: chess.Board) -> Draft | None:
    found = outcomes(board)
    if len(found.mates) > _MOST_MATES:
        return None
    sans = tuple(board.san(move) for move in found.mates)
    lures = len(found.checks) - len(found.mates)
    return Draft(
        task="White can mate in one move. Write down every mate.",
        task_marks=Marks(),
        answer=Answer(AnswerForm.MOVES, sans, wrong=Slip.NOT_MATE, missed=Slip.MISSED_MATE),
        solution=Solution(
            marks=Marks(arrows=tuple(arrow(move) for move in found.mates)),
            text="No other move mates." if len(sans) > 1 else "It is the only one.",
            plan=_plan(board, found.mates),
            watch_for=_warnings(board, found.stalemates, lures),
        ),
        claims=(MateIn(1), AllMates(frozenset(move.uci() for move in found.mates))),
        difficulty=clamp(15 + 10 * (len(sans) - 1) + 4 * lures + 8 * len(found.stalemates)),
    )


def _plan(board: chess.Board, mates: tuple[chess.Move, ...]) -> Plan:
    steps = tuple(
        PlanStep(board.san(move), "Mate if you can", reasons_for_mate(board, move)) for move in mates[:1]
    )
    return Plan(Position(board.fen()), "checked by the rules of chess", steps)


def _warnings(board: chess.Board, stalemates: tuple[chess.Move, ...], lures: int) -> tuple[str, ...]:
    warnings = []
    if stalemates:
        sans = tuple(board.san(move) for move in stalemates)
        shown = sans if len(sans) <= _MOST_SHOWN else (*sans[:_MOST_SHOWN], "others")
        warnings.append(f"Stalemate: {joined(shown)}.")
    if lures:
        warnings.append("Not every check is mate: has he a square, or can he take?")
    return tuple(warnings)


KIND = Kind("find every mate in one", _candidates, _draft)

"""Which moves are stalemate: all moves that leave the lone king without a move, not in check.

Difficulty: 20, and 12 more for each further stalemate to be found, 3 for each other move that
leaves him just one square (it looks like one), 6 for each mate that is there instead.
"""

import chess
import numpy as np
from numpy.typing import NDArray

from coachbook.endgame.census import Survey
from coachbook.endgame.probe import best_moves, probe
from coachbook.exercises.kind import Draft, Kind, clamp
from coachbook.exercises.moves import arrow, outcomes
from coachbook.model.claims import AllStalemates
from coachbook.model.exercise import Answer, AnswerForm, Plan, PlanStep, Solution
from coachbook.model.marks import Marks, Sign, SquareSign
from coachbook.model.position import Position
from coachbook.model.slips import Slip

_MOST_STALEMATES = 4


def _candidates(survey: Survey) -> NDArray[np.intp]:
    return survey.cells(survey.stalemating())


def _draft(board: chess.Board) -> Draft | None:
    found = outcomes(board)
    if len(found.stalemates) > _MOST_STALEMATES:
        return None
    sans = tuple(board.san(move) for move in found.stalemates)
    return Draft(
        task="Which moves would be stalemate? Write down all of them.",
        task_marks=Marks(),
        answer=Answer(AnswerForm.MOVES, sans, wrong=Slip.NOT_STALEMATE, missed=Slip.MISSED_STALEMATE),
        solution=Solution(
            marks=Marks(
                arrows=tuple(arrow(move) for move in found.stalemates),
                signs=tuple(
                    SquareSign(square, Sign.CROSS)
                    for square in sorted({move.to_square for move in found.stalemates})
                ),
            ),
            text="He is not in check and has no move: a draw.",
            plan=_plan(board),
            watch_for=("First ask: is it check? Then: has he a square?",),
        ),
        claims=(AllStalemates(frozenset(move.uci() for move in found.stalemates)),),
        difficulty=clamp(20 + 12 * (len(sans) - 1) + 3 * len(found.one_square_left) + 6 * len(found.mates)),
    )


def _plan(board: chess.Board) -> Plan:
    move = best_moves(board)[0]
    san = board.san(move)
    moves = probe(board).moves
    achieved = "It is mate." if moves == 1 else f"White mates in {moves} moves."
    step = PlanStep(san, "Play this instead", achieved)
    return Plan(Position(board.fen()), "computed line", (step,))


KIND = Kind("which moves are stalemate", _candidates, _draft)

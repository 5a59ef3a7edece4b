"""Which moves are stalemate: all moves that leave the lone king without a move, not in check.

Difficulty: 30; 6 more for each further stalemate to be found, 2 for each other move that leaves him just
one square, which looks like one (up to 16), and 4 if there is a mate, which catches the eye.
"""

import chess
import numpy as np
from numpy.typing import NDArray

from coachbook.endgame.census import Survey
from coachbook.endgame.probe import judge_moves
from coachbook.exercises.board_facts import arrow, names, outcomes
from coachbook.exercises.kind import Draft, Kind, clamp
from coachbook.model.claims import AllStalemates, MateIn
from coachbook.model.facts import Slip
from coachbook.model.position import Marks, Position, Sign, SquareSign
from coachbook.model.worksheet import Answer, AnswerForm, Plan, PlanStep, Solution
from coachbook.wording.exercises import say

_MOST_STALEMATES = 4
"""More don't fit on an answer line, nor in a student's patience."""


def _candidates(survey: Survey) -> NDArray[np.intp]:
    return survey.cells(survey.stalemating() & survey.where(lambda values: values > 0))


def _draft(board: chess.Board) -> Draft | None:
    found = outcomes(board)
    best = judge_moves(board)[0]
    moves = best.outcome.moves
    if len(found.stalemates) > _MOST_STALEMATES or moves is None:
        return None
    sans = tuple(board.san(move) for move in found.stalemates)
    beside = _beside_lone_king(board)
    return Draft(
        task=say("task_stalemate_moves"),
        task_marks=Marks(),
        answer=Answer(AnswerForm.MOVES, sans, wrong=Slip.NOT_STALEMATE, missed=Slip.MISSED_STALEMATE),
        solution=Solution(
            marks=Marks(
                arrows=tuple(dict.fromkeys(map(arrow, found.stalemates))),
                signs=tuple(
                    SquareSign(square, Sign.CROSS)
                    for square in sorted({move.to_square for move in found.stalemates})
                ),
            ),
            text=say("guarded_beside", guarded_beside=beside) if beside else say("they_stalemate"),
            plan=_plan(board, best.san, moves),
            watch_for=(say("ask_check"),),
        ),
        claims=(AllStalemates(names(found.stalemates)), MateIn(moves)),
        difficulty=clamp(30 + 6 * (len(sans) - 1) + min(16, 2 * found.one_reply) + 4 * bool(found.mates)),
    )


def _beside_lone_king(board: chess.Board) -> tuple[str, ...]:
    """The squares beside Black's king; () if he has other men, which can't move either."""
    king = board.pieces(chess.KING, chess.BLACK)
    if board.occupied_co[chess.BLACK] != int(king):
        return ()
    return tuple(
        chess.square_name(square) for square in chess.SquareSet(chess.BB_KING_ATTACKS[next(iter(king))])
    )


def _plan(board: chess.Board, san: str, moves: int) -> Plan:
    mates = say("mates_in_moves", winner="white", mates_in=moves)
    step = PlanStep(san, say("instead"), say("it_is_mate") if moves == 1 else mates)
    return Plan(Position(board.fen()), say("computed"), (step,))


KIND = Kind("which moves are stalemate", _candidates, _draft)

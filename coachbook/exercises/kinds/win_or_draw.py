"""Win or draw: what the position is worth with best play, White or Black to move.

With king and pawn only where a verdict says why.

Difficulty: 30, 10 more for a draw with the attacker to move, up to 20 more the farther the mate
is away (one for each two moves), and 15 more if only one move keeps the result.
"""

import chess
import numpy as np
from numpy.typing import NDArray

from coachbook.endgame.census import Survey
from coachbook.endgame.probe import Result, judge_moves
from coachbook.endgame.space import BLACK, WHITE
from coachbook.exercises.board_facts import arrow, reasons, side_name, thinned
from coachbook.exercises.kind import Draft, Kind, clamp
from coachbook.exercises.solution_lines import how_many_hold, one_move, sensible_move
from coachbook.method.king_and_pawn_verdicts import is_king_and_pawn
from coachbook.model.claims import ResultIs
from coachbook.model.facts import Slip
from coachbook.model.position import Marks
from coachbook.model.worksheet import Answer, AnswerForm, Saying, Solution
from coachbook.wording.exercises import say

_OPTIONS = ("white_wins", "draw")
_MOST = 20_000
"""Positions of each result: more than any club will use."""


def _candidates(survey: Survey) -> NDArray[np.intp]:
    """As many draws as wins, so that guessing does not pay (but one at least: a coach's own)."""
    won = survey.where(lambda values: values > 0 if survey.side == WHITE else values < 0)
    drawn = survey.where(lambda values: values == 0)
    wins, draws = survey.cells(won, _MOST), survey.cells(drawn, _MOST)
    share = max(1, min(_MOST, len(wins), len(draws)))
    return np.concatenate([thinned(part, share) for part in (wins, draws)])


def _draft(board: chess.Board) -> Draft | None:
    judged = judge_moves(board)
    if not judged:
        return None
    outcome = judged[0].outcome
    why = reasons(board)
    if not why and is_king_and_pawn(board):
        return None
    won = outcome.result is not Result.DRAW
    keeping = [each for each in judged if each.outcome.result == outcome.result]
    only = len(keeping) == 1 < len(judged)
    best = judged[0] if won else sensible_move(board)
    return Draft(
        task=say("task_win_or_draw", side=side_name(board.turn)),
        task_marks=Marks(),
        answer=Answer(
            AnswerForm.CHOICE,
            (_OPTIONS[0 if won else 1],),
            options=_OPTIONS,
            wrong=Slip.WIN_NOT_SEEN if won else Slip.DRAW_NOT_SEEN,
        ),
        solution=Solution(
            marks=Marks(arrows=(arrow(best.move),)),
            text=_told(outcome.moves),
            plan=one_move(board, best, say("only_move") if only else _role(board, won)),
        ),
        claims=(ResultIs(won), *why),
        difficulty=clamp(30 + 10 * (not won and board.turn) + min(20, (outcome.moves or 0) // 2) + 15 * only),
    )


def _role(board: chess.Board, won: bool) -> Saying:
    if won:
        return say("quickest_win" if board.turn else "longest_defence")
    return how_many_hold(board)


def _told(moves: int | None) -> Saying:
    return say("drawn") if moves is None else say("white_mates", mates_in=moves)


KIND = Kind("win or draw", _candidates, _draft, sides=(WHITE, BLACK))

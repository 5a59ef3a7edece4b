"""Win or draw: what the position is worth with best play, White or Black to move.

Asked where a verdict, or something that can be forced within a few moves, says why.

Difficulty: 30, 10 more for a draw with the attacker to move, up to 20 more the farther the mate
is away (one for each two moves), and 15 more if only one move keeps the result.
"""

import chess
import numpy as np
from numpy.typing import NDArray

from coachbook.endgame.census import Survey
from coachbook.endgame.probe import JudgedMove, Result, judge_moves
from coachbook.endgame.space import BLACK, WHITE
from coachbook.exercises.board_facts import arrow, reasons, side_name
from coachbook.exercises.forced import Found, find_forced, stands_in_corner
from coachbook.exercises.kind import Draft, Kind, clamp
from coachbook.exercises.lures import lures
from coachbook.exercises.solution_lines import how_many_hold, makes_sense, mates_soon, one_move, sensible_move
from coachbook.model.claims import ResultIs
from coachbook.model.facts import Slip
from coachbook.model.position import Marks
from coachbook.model.worksheet import Answer, AnswerForm, Saying, Solution
from coachbook.wording.exercises import say

_OPTIONS = ("white_wins", "draw")
_MOST = 20_000
"""Positions of each result: more than any club will use."""
_TOLD = {
    ("KPK", WHITE): (95, 53),
    ("KPK", BLACK): (93, 65),
    ("KPPK", WHITE): (80, 35),
    ("KPPK", BLACK): (76, 29),
    ("KPKP", WHITE): (96, 55),
    ("KPKP", BLACK): (89, 50),
    ("KQKP", WHITE): (83, 47),
    ("KQKP", BLACK): (47, 48),
    ("KRKP", WHITE): (77, 37),
    ("KRKP", BLACK): (61, 54),
    ("KRKB", BLACK): (84, 26),
    ("KRKN", BLACK): (40, 21),
    ("KBPK", WHITE): (68, 72),
    ("KBPK", BLACK): (58, 83),
    ("KNPK", WHITE): (66, 70),
    ("KNPK", BLACK): (59, 75),
}
"""Of how many wins and draws in a hundred it can be said why, by ending and side to move (measured)."""


def _candidates(survey: Survey) -> NDArray[np.intp]:
    """As many draws as wins of which it can be said why, so that guessing does not pay (but one of each at
    least: a coach's own)."""
    won = survey.where(lambda values: values > 0 if survey.side == WHITE else values < 0)
    drawn = survey.where(lambda values: values == 0)
    told_wins, told_draws = _TOLD.get((survey.space.material.name, survey.side), (1, 1))
    wins, draws = survey.count(won) * told_wins, survey.count(drawn) * told_draws
    share = min(_MOST * min(told_wins, told_draws), wins, draws)
    return np.concatenate(
        [survey.cells(part, max(1, share // told)) for part, told in ((won, told_wins), (drawn, told_draws))]
    )


def _draft(board: chess.Board) -> Draft | None:
    judged = judge_moves(board)
    if not judged:
        return None
    outcome = judged[0].outcome
    won = outcome.result is not Result.DRAW
    keeping = [each for each in judged if each.outcome.result == outcome.result]
    only = len(keeping) == 1 < len(judged)
    told = reasons(board) or (reasons(board, keeping[0].move) if only else ())
    found = None if told else stands_in_corner(board) or find_forced(board)
    if not told and found is None:
        return None
    best = _shown(board, judged, found)
    shown = won or makes_sense(board, best.move)
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
            marks=Marks(arrows=(arrow(best.move),) if shown else ()),
            text=_told(outcome.moves, found),
            plan=one_move(board, best, _role(board, judged, best, only=only)) if shown else None,
            watch_for=lures(board, judged),
        ),
        claims=(ResultIs(won), *told),
        difficulty=clamp(30 + 10 * (not won and board.turn) + min(20, (outcome.moves or 0) // 2) + 15 * only),
    )


def _shown(board: chess.Board, judged: tuple[JudgedMove, ...], found: Found | None) -> JudgedMove:
    """A move that begins what is told, the best of these; else the quickest win, or one that makes sense."""
    best = judged[0] if judged[0].outcome.result is not Result.DRAW else sensible_move(board)
    begins = found.begins if found else ()
    if not begins or best.move in begins:
        return best
    return next(each for each in judged if each.move in begins)


def _role(board: chess.Board, judged: tuple[JudgedMove, ...], shown: JudgedMove, *, only: bool) -> Saying:
    if only:
        return say("only_move")
    if shown.outcome.result is Result.DRAW:
        return how_many_hold(board)
    if shown.outcome != judged[0].outcome:
        return say("begins_it")
    return say("quickest_win" if board.turn else "longest_defence")


def _told(moves: int | None, found: Found | None) -> Saying:
    if moves is None:
        return say("drawn_by_force", forced=found.forced) if found else say("drawn")
    if found:
        return say("won_by_force", forced=found.forced, **mates_soon(moves))
    return say("white_mates", **mates_soon(moves))


_CASES = ((WHITE, True), (BLACK, False), (BLACK, True), (WHITE, False))

KIND = Kind("win or draw", _candidates, _draft, sides=(WHITE, BLACK), large=_CASES)

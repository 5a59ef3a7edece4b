"""Finish the rule: how the rule of the card goes on that decides here, one end of three.

Asked of the queen's box and the rook's box; never of "mate", which is told in one breath.

Difficulty: 15 for the second rule of the list, 8 more for each rule further down, which is needed more
rarely; 2 more for each move of the piece that spoils the win (up to 16).
"""

import random

import chess
import numpy as np
from numpy.typing import NDArray

from coachbook.endgame.census import Survey
from coachbook.exercises.board_facts import arrow, spoiling_moves
from coachbook.exercises.generate import derived_seed
from coachbook.exercises.kind import Draft, Kind, clamp
from coachbook.exercises.rule_choices import in_equal_shares, rule_choices
from coachbook.exercises.solution_lines import next_step
from coachbook.method.border import choose, find_ending
from coachbook.method.queen_box import QUEEN_BOX
from coachbook.method.rook_box import ROOK_BOX
from coachbook.model.claims import RuleEnding
from coachbook.model.facts import Slip
from coachbook.model.position import Marks
from coachbook.model.worksheet import Answer, AnswerForm, Solution
from coachbook.wording.exercises import say

_METHODS = {ending: method for method in (QUEEN_BOX, ROOK_BOX) for ending in method.endings}
_ENDS = ("end", "other-1", "other-2")


def _candidates(survey: Survey) -> NDArray[np.intp]:
    """The rules in equal shares, as far as the positions of the rarer ones go."""
    method = _METHODS.get(survey.space.material.white)
    if method is None or survey.space.material.black:
        return survey.cells(survey.space.empty())
    looked_at = rule_choices(survey, method)
    return in_equal_shares(looked_at.cells, looked_at.choice.rule, range(1, len(method.rules)))


def _draft(board: chess.Board) -> Draft | None:
    method = _METHODS[find_ending(board) or ""]
    rule = choose(board, method).rule
    if rule is None:
        return None
    plan = next_step(board, method)
    chance = random.Random(derived_seed(0, "finish_rule", board.fen()))  # noqa: S311 - no secret
    offered = tuple(f"{rule.code}/{end}" for end in chance.sample(_ENDS, len(_ENDS)))
    (piece,) = chess.SquareSet(board.occupied_co[chess.WHITE] & ~board.kings)
    spoiling = len(spoiling_moves(board, piece))
    return Draft(
        task=say("task_finish_rule", decides=rule.code),
        task_marks=Marks(),
        answer=Answer(AnswerForm.CHOICE, (f"{rule.code}/end",), options=offered, wrong=Slip.RULE_NOT_KNOWN),
        solution=Solution(
            marks=Marks(arrows=(arrow(board.parse_san(plan.steps[0].move)),)),
            text=say("whole_rule", decides=rule.code),
            plan=plan,
            watch_for=(say("say_the_rule"),),
        ),
        claims=(RuleEnding(method.name, rule.code, offered),),
        difficulty=clamp(15 + 8 * (method.rules.index(rule) - 1) + min(16, 2 * spoiling)),
    )


KIND = Kind("finish the rule", _candidates, _draft, by_heart=True)

"""Which rule of the method comes next: the first in the list that has a move.

Asked of the queen's box, the rook's box, the two major pieces and the bridge. Of the queen's box only where
it makes no difference that the method's box is open where White's king stands in a wall, nor what a king
does that has come to the meeting square: the card does not say so.

Difficulty: 5 for the first rule of the list (mate), 10 more for each rule further down, up to 20
more for moves that spoil the win (5 each).
"""

import random
from collections.abc import Iterator

import chess
import numpy as np
from numpy.typing import NDArray

from coachbook.endgame.census import Survey
from coachbook.exercises.board_facts import arrow, names, spoiling_moves
from coachbook.exercises.box_moves import SHRINK, BoxMoves, are_all_among
from coachbook.exercises.drawn_positions import played
from coachbook.exercises.kind import Draft, Kind, clamp
from coachbook.exercises.rule_choices import RuleChoices, in_equal_shares, right_by_words, rule_choices
from coachbook.exercises.solution_lines import next_step
from coachbook.method.border import choose, find_ending, fits, from_board
from coachbook.method.box import NO_BOX, rectangle_size, walls_broken
from coachbook.method.bridge import BRIDGE
from coachbook.method.positions import Mask, ending_name
from coachbook.method.queen_box import QUEEN_BOX, steps_to_meeting
from coachbook.method.rook_box import ROOK_BOX
from coachbook.method.rules import Method, Rule
from coachbook.method.two_majors import TWO_MAJORS
from coachbook.model.claims import MethodRule
from coachbook.model.facts import Slip
from coachbook.model.position import Marks
from coachbook.model.worksheet import Answer, AnswerForm, Fact, Solution
from coachbook.wording.exercises import say

_METHODS = {
    ending: method for method in (QUEEN_BOX, ROOK_BOX, TWO_MAJORS, BRIDGE) for ending in method.endings
}
_TOO_LARGE = {ending_name(ending): ending for ending in BRIDGE.endings}
"""Endings that have no survey, and how their method calls them."""


def _candidates(survey: Survey) -> NDArray[np.intp]:
    """The rules in equal shares, as far as the positions of the rarer ones go."""
    method = _METHODS.get(survey.space.material.white)
    if method is None or survey.space.material.black:
        return survey.cells(survey.space.empty())
    looked_at = rule_choices(survey, method)
    cells, rule = looked_at.cells, looked_at.choice.rule
    if method is QUEEN_BOX:
        rule = np.where(_is_plain(looked_at, right_by_words(survey, method)), rule, -1)
    return in_equal_shares(cells, rule, range(len(method.rules)))


def _played(ending: str, chance: random.Random) -> Iterator[chess.Board] | None:
    """The rules in turn, as they come up in games."""
    pieces = _TOO_LARGE.get(ending)
    return played(_METHODS[pieces], pieces, chance) if pieces is not None else None


def _is_plain(looked_at: RuleChoices, right: BoxMoves) -> Mask:
    """The same rule decides, and what it leaves is right, wherever White's king stands. Shape (n,)."""
    positions, choice = looked_at.positions, looked_at.choice
    shrinks = choice.rule == SHRINK
    agrees = (shrinks == right.shrinks) & (~shrinks | are_all_among(choice, right.moves, len(positions)))
    plain: Mask = (choice.rule == 0) | (agrees & ~walls_broken(positions))
    return plain


def _draft(board: chess.Board) -> Draft | None:
    method = _METHODS[find_ending(board) or ""]
    if not fits(board, method):
        return None
    chosen = choose(board, method)
    if chosen.rule is None or (method is QUEEN_BOX and _is_doubtful(board, chosen.rule)):
        return None
    plan = next_step(board, method)
    step = board.parse_san(plan.steps[0].move)
    pieces = board.occupied_co[chess.WHITE] & ~board.kings
    spoiling = sum(len(spoiling_moves(board, piece)) for piece in chess.SquareSet(pieces))
    return Draft(
        task=say("task_next_rule", **_box_of(method)),
        task_marks=Marks(),
        answer=Answer(
            AnswerForm.CHOICE,
            (chosen.rule.code,),
            options=tuple(rule.code for rule in method.rules),
            numbers=tuple(map(method.number_of, method.rules)),
            wrong=Slip.WRONG_RULE,
        ),
        solution=Solution(
            marks=Marks(arrows=(arrow(step),)),
            text=say("first_rule"),
            plan=plan,
            watch_for=(say("from_the_top"),),
        ),
        claims=(MethodRule(method.name, chosen.rule.code, names(chosen.moves)),),
        difficulty=clamp(5 + 10 * method.rules.index(chosen.rule) + min(20, 5 * spoiling)),
    )


def _is_doubtful(board: chess.Board, rule: Rule) -> bool:
    """Whether the king's rule decides though it has come to the meeting square, or another box though there
    is one, and the king has a safe step."""
    before = from_board(board)
    if rule.code == "king_to_meeting_square":
        return int(steps_to_meeting(before)[0]) == 0
    if rule.code != "other_queen_box" or int(rectangle_size(before)[0]) == NO_BOX:
        return False
    king = board.king(chess.WHITE) or 0
    steps = sum(move.from_square == king for move in board.legal_moves)
    return steps > len(spoiling_moves(board, king))


def _box_of(method: Method) -> dict[str, Fact]:
    """The man that makes the box of which the rules tell; none of two."""
    men: dict[str, Fact] = {QUEEN_BOX.name: "queen", ROOK_BOX.name: "rook"}
    return {"man": men[method.name]} if method.name in men else {}


KIND = Kind("which rule comes next", _candidates, _draft, reads_card=True, played=_played)

"""Which positions and drafts suit the themes of a kind in a unit.

Most themes see where the men stand (`themes_of_men`), two what a position is worth: they narrow a survey
before a kind looks for its positions, so that the kind still takes as many wins as draws of what is left. Two
work out the box or the rule of a method in each position that the kind found, and two look at the draft of an
exercise. Where there is no survey, positions are placed by chance (`drawn_positions`).

What a level file may say of each, and what it means, stands in `model.known_themes`.
"""

from collections.abc import Callable

import chess
import numpy as np
from numpy.typing import NDArray

from coachbook.endgame.census import Survey
from coachbook.endgame.probe import after_move, find_only_move
from coachbook.endgame.space import WHITE
from coachbook.endgame.symmetry import Words
from coachbook.errors import CoachbookError
from coachbook.exercises.board_facts import positions_of
from coachbook.exercises.box_moves import BOX_METHODS, box_size
from coachbook.exercises.forced_goals import can_cut_off
from coachbook.exercises.kind import Draft
from coachbook.exercises.places import Mask, Placed, Surveyed
from coachbook.exercises.themes_of_men import THEMES_OF_MEN
from coachbook.method.box import NO_BOX
from coachbook.method.methods import all_methods
from coachbook.method.moves import Side
from coachbook.method.rook_verdicts import pictured_by
from coachbook.method.rules import choose_all
from coachbook.method.verdicts import find_reason
from coachbook.model.because import Because
from coachbook.model.claims import ReasonIs
from coachbook.model.known_themes import Themes, ThemeValue
from coachbook.model.worksheet import AnswerForm

Cells = NDArray[np.intp]
"""As of `Survey.cells`: shape (n, axes + 1)."""


def narrowed(survey: Survey, themes: Themes) -> Survey:
    """The survey with the positions alone in which the men stand, and that are worth, what the themes say."""
    for name, value in themes:
        if name in THEMES_OF_MEN:
            survey = survey.only(THEMES_OF_MEN[name](Surveyed(survey), value))
        elif name in _OF_VALUES:
            survey = survey.only(_OF_VALUES[name](survey, value))
    return survey


def standing(placed: Placed, themes: Themes) -> Mask:
    """In which of the placed positions the men stand as the themes say. Shape (n,)."""
    found = placed.every()
    for name, value in themes:
        if name in THEMES_OF_MEN:
            found &= THEMES_OF_MEN[name](placed, value)
    return found


def suiting(survey: Survey, cells: Cells, themes: Themes) -> Mask:
    """Which cells suit the themes that are worked out in each position. Shape (n,).

    Raises CoachbookError for a rule that no method has.
    """
    found = np.ones(len(cells), dtype=np.bool_)
    for name, value in themes:
        if name in _OF_POSITIONS:
            found[found] = _OF_POSITIONS[name](survey, cells[found], value)
    return found


def is_suiting(board: chess.Board, draft: Draft, themes: Themes) -> bool:
    """Whether a draft suits all themes that are about its answer or its key."""
    return all(_OF_DRAFT[name](board, draft, value) for name, value in themes if name in _OF_DRAFT)


def may_suit(board: chess.Board, themes: Themes) -> bool:
    """Whether a draft of a board may suit the themes about its key: seen before it is made, which is long."""
    asked = ("decided_by", "cut off") in themes and bool(board.pieces(chess.ROOK, board.turn))
    pictures = dict(themes).get("picture")
    return (not asked or can_cut_off(board)) and (pictures is None or _may_be_pictured(board, str(pictures)))


def _may_be_pictured(board: chess.Board, pictures: str) -> bool:
    """Whether a verdict that one of the pictures is about holds, on the board or after the only move."""
    told, reason = pictured_by(pictures.split(", ")), find_reason(board)
    if reason is not None and reason.because in told:
        return True
    only = find_only_move(board)
    led_to = find_reason(after_move(board, only)) if only is not None else None
    return led_to is not None and led_to.because in told


def _result(survey: Survey, value: ThemeValue) -> Words:
    """White wins with best play, or it is a draw."""
    if value == "draw":
        return survey.where(lambda values: values == 0)
    return survey.where(lambda values: values > 0 if survey.side == WHITE else values < 0)


_MOVERS = {"king move": "K", "pawn move": "P", "piece move": "QRBN"}


def _kept_by(survey: Survey, value: ThemeValue) -> Words:
    """Only moves of such a man keep the win or the draw."""
    return survey.kept_by(_MOVERS[str(value)])


def _box_at_most(survey: Survey, cells: Cells, value: ThemeValue) -> Mask:
    """What the queen's or rook's file and rank cut off is that small; behind a rook, where he can walk."""
    if survey.space.material.white not in BOX_METHODS or survey.space.material.black:
        return np.zeros(len(cells), dtype=np.bool_)
    found = box_size(positions_of(survey, cells))
    small: Mask = (found < NO_BOX) & (found <= int(value))
    return small


def _only_rule(survey: Survey, cells: Cells, value: ThemeValue) -> Mask:
    """The rule of this name decides, by the first method for the ending that has such a rule."""
    named = [method for method in all_methods() if any(rule.name == value for rule in method.rules)]
    if not named:
        known = dict.fromkeys(rule.name for method in all_methods() for rule in method.rules)
        raise CoachbookError(f"No method has a rule '{value}'.", f"Rules are: {', '.join(known)}.")
    plays = Side.ATTACKER if survey.side == WHITE else Side.LONE_KING
    fitting = [each for each in named if each.plays is plays and survey.space.material.white in each.endings]
    if not fitting or survey.space.material.black:
        return np.zeros(len(cells), dtype=np.bool_)
    numbers = [number for number, rule in enumerate(fitting[0].rules) if rule.name == value]
    return np.isin(choose_all(fitting[0], positions_of(survey, cells)).rule, numbers)


def _answer_is(board: chess.Board, draft: Draft, value: ThemeValue) -> bool:
    """All right answers are moves of such a man."""
    if draft.answer.form is not AnswerForm.MOVES:
        return False
    movers = {board.piece_type_at(board.parse_san(san).from_square) for san in draft.answer.accepted}
    men = {"king move": {chess.KING}, "pawn move": {chess.PAWN}}
    pieces = {chess.QUEEN, chess.ROOK, chess.BISHOP, chess.KNIGHT}
    return movers <= men.get(str(value), pieces)


_DECIDES = {
    "square": {
        Because.OUTSIDE_SQUARE,
        Because.OUTSIDE_SQUARE_TO_MOVE,
        Because.INSIDE_SQUARE,
        Because.INSIDE_SQUARE_TO_MOVE,
    },
    "key square": {Because.KEY_SQUARE, Because.KEY_SQUARE_TO_MOVE},
    "opposition": {Because.OPPOSITION, Because.OPPOSITION_TO_MOVE, Because.AHEAD_WITH_OPPOSITION},
    "corner": {
        Because.ROOK_PAWN_CORNER,
        Because.BEFORE_ROOK_PAWN,
        Because.SHUT_IN,
        Because.ROOK_PAWN_KEY_SQUARE,
    },
}


def _decided_by(_: chess.Board, draft: Draft, value: ThemeValue) -> bool:
    """The key gives such a reason, for the position or for what its right move leads to."""
    if value == "cut off":
        forced = draft.solution.text.fact("forced")
        return isinstance(forced, tuple) and "cut_off" in forced
    reasons = {claim.reason.because for claim in draft.claims if isinstance(claim, ReasonIs)}
    return not reasons.isdisjoint(_DECIDES[str(value)])


_OF_VALUES: dict[str, Callable[[Survey, ThemeValue], Words]] = {
    "result": _result,
    "kept_by": _kept_by,
}
_OF_POSITIONS: dict[str, Callable[[Survey, Cells, ThemeValue], Mask]] = {
    "box_at_most": _box_at_most,
    "only_rule": _only_rule,
}


def _pictured(_: chess.Board, draft: Draft, value: ThemeValue) -> bool:
    """The key gives a verdict that one of the pictures is about."""
    told = pictured_by(str(value).split(", "))
    return any(isinstance(claim, ReasonIs) and claim.reason.because in told for claim in draft.claims)


_OF_DRAFT: dict[str, Callable[[chess.Board, Draft, ThemeValue], bool]] = {
    "answer_is": _answer_is,
    "decided_by": _decided_by,
    "picture": _pictured,
}

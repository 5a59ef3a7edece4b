"""Which positions suit a theme: each theme one function, over many positions at once or over a draft.

What a level file may say of each, and what it means, stands in `model.known_themes`.
"""

from collections.abc import Callable

import chess
import numpy as np
from numpy.typing import NDArray

from coachbook.endgame.census import Survey
from coachbook.endgame.space import BLACK, WHITE, Man
from coachbook.errors import CoachbookError
from coachbook.exercises.board_facts import positions_of
from coachbook.exercises.box_moves import BOX_METHODS, box_size
from coachbook.exercises.kind import Draft
from coachbook.method.box import NO_BOX
from coachbook.method.methods import all_methods
from coachbook.method.moves import Side
from coachbook.method.positions import king_steps
from coachbook.method.rules import choose_all
from coachbook.model.claims import Because, ReasonIs
from coachbook.model.known_themes import Themes, ThemeValue
from coachbook.model.worksheet import AnswerForm

Cells = NDArray[np.intp]
"""As of `Survey.cells`: shape (n, axes + 1)."""
Mask = NDArray[np.bool_]
"""Whether each of the n positions suits. Shape (n,)."""


def suiting(survey: Survey, cells: Cells, themes: Themes) -> Mask:
    """Which cells suit all themes that can be seen on the board. Shape (n,).

    Raises CoachbookError for a rule that no method has.
    """
    found = np.ones(len(cells), dtype=np.bool_)
    for name, value in themes:
        if name in _ON_BOARD:
            found[found] = _ON_BOARD[name](survey, cells[found], value)
    return found


def is_suiting(board: chess.Board, draft: Draft, themes: Themes) -> bool:
    """Whether a draft suits all themes that are about its answer or its key."""
    return all(_OF_DRAFT[name](board, draft, value) for name, value in themes if name in _OF_DRAFT)


def _pawn_files(survey: Survey, cells: Cells, value: ThemeValue) -> Mask:
    """Each pawn stands on one of the files, or its mirror image; without a pawn none suits."""
    files = {"abcdefgh".index(letter) for letter in str(value)}
    both = [*files, *(7 - file for file in files)]
    return _each_pawn(survey, lambda man: np.isin(cells[:, man.axis] % 8, both), len(cells))


def _pawn_ranks(survey: Survey, cells: Cells, value: ThemeValue) -> Mask:
    """Each pawn stands on one of the ranks, from its own side; without a pawn none suits."""
    low, high = (int(rank) for rank in (str(value)[0], str(value)[-1]))

    def suits(man: Man) -> Mask:
        ranks = _rank_for(man.side, cells[:, man.axis])
        between: Mask = (ranks >= low) & (ranks <= high)
        return between

    return _each_pawn(survey, suits, len(cells))


def _to_move(survey: Survey, cells: Cells, value: ThemeValue) -> Mask:
    """All, or none: a survey has one side to move."""
    return np.full(len(cells), value == chess.COLOR_NAMES[survey.side == WHITE])


def _result(survey: Survey, cells: Cells, value: ThemeValue) -> Mask:
    """White wins with best play, or it is a draw."""
    values = survey.values[survey.side][tuple(cells.T)]
    for_white = values if survey.side == WHITE else -values
    suits: Mask = for_white == 0 if value == "draw" else for_white > 0
    return suits


def _king_in_front(survey: Survey, cells: Cells, _: ThemeValue) -> Mask:
    """The own king of each pawn stands on a rank ahead of it."""

    def suits(man: Man) -> Mask:
        king, pawn = _king_of(survey, cells, man.side), cells[:, man.axis]
        ahead: Mask = _rank_for(man.side, king) > _rank_for(man.side, pawn)
        return ahead

    return _each_pawn(survey, suits, len(cells))


def _lone_king_in_front(survey: Survey, cells: Cells, _: ThemeValue) -> Mask:
    """The other king stands on the file of each pawn, ahead of it."""

    def suits(man: Man) -> Mask:
        king, pawn = _king_of(survey, cells, 1 - man.side), cells[:, man.axis]
        ahead: Mask = (king % 8 == pawn % 8) & (_rank_for(man.side, king) > _rank_for(man.side, pawn))
        return ahead

    return _each_pawn(survey, suits, len(cells))


def _lone_king_near_pawn(survey: Survey, cells: Cells, value: ThemeValue) -> Mask:
    """The other king is at most so many steps from each pawn."""

    def suits(man: Man) -> Mask:
        near: Mask = king_steps(_king_of(survey, cells, 1 - man.side), cells[:, man.axis]) <= int(value)
        return near

    return _each_pawn(survey, suits, len(cells))


def _king_far_from_pawn(survey: Survey, cells: Cells, value: ThemeValue) -> Mask:
    """The own king of each pawn is at least so many steps from it."""

    def suits(man: Man) -> Mask:
        far: Mask = king_steps(_king_of(survey, cells, man.side), cells[:, man.axis]) >= int(value)
        return far

    return _each_pawn(survey, suits, len(cells))


def _lone_king_on_edge(survey: Survey, cells: Cells, _: ThemeValue) -> Mask:
    """Black's king stands on the first or last file or rank."""
    king = _king_of(survey, cells, BLACK)
    return np.isin(king % 8, (0, 7)) | np.isin(king // 8, (0, 7))


def _kings_within(survey: Survey, cells: Cells, value: ThemeValue) -> Mask:
    """The kings are at most so many steps apart."""
    near: Mask = king_steps(*(_king_of(survey, cells, side) for side in (WHITE, BLACK))) <= int(value)
    return near


def _bishop(survey: Survey, cells: Cells, value: ThemeValue) -> Mask:
    """Each pawn stands on the edge, and the bishop of its side can guard its last square, or can't."""
    bishops = [man for man in survey.space.men if man.letter == "B"]

    def suits(man: Man) -> Mask:
        file = cells[:, man.axis] % 8
        last = file + (56 if man.side == WHITE else 0)
        own = [cells[:, bishop.axis] for bishop in bishops if bishop.side == man.side]
        can = np.zeros(len(cells), dtype=np.bool_)
        for bishop in own:
            can |= _shade(bishop) == _shade(last)
        is_such: Mask = np.isin(file, (0, 7)) & (can if value == "right" else ~can)
        return is_such & bool(own)

    return _each_pawn(survey, suits, len(cells))


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
    reasons = {claim.reason.because for claim in draft.claims if isinstance(claim, ReasonIs)}
    return not reasons.isdisjoint(_DECIDES[str(value)])


_ON_BOARD: dict[str, Callable[[Survey, Cells, ThemeValue], Mask]] = {
    "pawn_files": _pawn_files,
    "pawn_ranks": _pawn_ranks,
    "to_move": _to_move,
    "result": _result,
    "king_in_front": _king_in_front,
    "lone_king_in_front": _lone_king_in_front,
    "lone_king_near_pawn": _lone_king_near_pawn,
    "king_far_from_pawn": _king_far_from_pawn,
    "lone_king_on_edge": _lone_king_on_edge,
    "kings_within": _kings_within,
    "bishop": _bishop,
    "box_at_most": _box_at_most,
    "only_rule": _only_rule,
}
_OF_DRAFT: dict[str, Callable[[chess.Board, Draft, ThemeValue], bool]] = {
    "answer_is": _answer_is,
    "decided_by": _decided_by,
}


def _each_pawn(survey: Survey, suits: Callable[[Man], Mask], positions: int) -> Mask:
    """Where all pawns suit; nowhere if there is none."""
    pawns = [man for man in survey.space.men if man.is_pawn]
    found = np.full(positions, bool(pawns))
    for man in pawns:
        found &= suits(man)
    return found


def _king_of(survey: Survey, cells: Cells, side: int) -> NDArray[np.intp]:
    return survey.space.kings[cells[:, 0]] if side == WHITE else cells[:, -1]


def _rank_for(side: int, squares: NDArray[np.intp]) -> NDArray[np.intp]:
    """Ranks 1 to 8, counted from a side."""
    return squares // 8 + 1 if side == WHITE else 8 - squares // 8


def _shade(squares: NDArray[np.intp]) -> NDArray[np.intp]:
    """0 for dark squares, 1 for light ones."""
    return (squares % 8 + squares // 8) % 2

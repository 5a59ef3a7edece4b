"""Which positions suit a theme: each theme one function.

Most of them see where the men stand, and narrow a survey before a kind looks for its positions: so the kind
still takes as many wins as draws of what is left. Two work out the box or the rule of a method in each
position that the kind found, and two look at the draft of an exercise. None of them tells a position from its
mirror image.

What a level file may say of each, and what it means, stands in `model.known_themes`.
"""

from collections.abc import Callable

import chess
import numpy as np
from numpy.typing import NDArray

from coachbook.endgame.census import Survey
from coachbook.endgame.space import ALL, BLACK, WHITE, Man
from coachbook.endgame.symmetry import Words, packed
from coachbook.errors import CoachbookError
from coachbook.exercises.board_facts import positions_of
from coachbook.exercises.box_moves import BOX_METHODS, box_size
from coachbook.exercises.forced_goals import can_cut_off
from coachbook.exercises.kind import Draft
from coachbook.method.box import NO_BOX
from coachbook.method.methods import all_methods
from coachbook.method.moves import Side
from coachbook.method.positions import king_steps
from coachbook.method.rules import choose_all
from coachbook.model.because import Because
from coachbook.model.claims import ReasonIs
from coachbook.model.known_themes import Themes, ThemeValue
from coachbook.model.worksheet import AnswerForm

Squares = NDArray[np.intp]
Cells = NDArray[np.intp]
"""As of `Survey.cells`: shape (n, axes + 1)."""
Mask = NDArray[np.bool_]
Related = Callable[[Squares, Squares], Mask]
"""Whether something is so of squares of a king (or a man) and of a man, in any shapes that broadcast."""


def narrowed(survey: Survey, themes: Themes) -> Survey:
    """The survey with the positions alone in which the men stand as the themes say."""
    for name, value in themes:
        if name in _OF_MEN:
            survey = survey.only(_OF_MEN[name](survey, value))
    return survey


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
    return not asked or can_cut_off(board)


def _pawn_files(survey: Survey, value: ThemeValue) -> Words:
    """Each pawn stands on one of the files, or its mirror image."""
    files = {"abcdefgh".index(letter) for letter in str(value)}
    both = [*files, *(7 - file for file in files)]
    return _each_pawn(survey, lambda man: _man(survey, man, np.isin(man.squares % 8, both)))


def _pawn_ranks(survey: Survey, value: ThemeValue) -> Words:
    """Each pawn stands on one of the ranks, from its own side."""
    low, high = (int(rank) for rank in (str(value)[0], str(value)[-1]))

    def suits(man: Man) -> Words:
        ranks = _rank_for(man.side, man.squares)
        return _man(survey, man, (ranks >= low) & (ranks <= high))

    return _each_pawn(survey, suits)


def _pawns_free(survey: Survey, _: ThemeValue) -> Words:
    """No pawn has one of the other side ahead of it, on its own file or the next."""
    found = _every(survey)
    for white, black in _against_each_other(survey):
        found &= _men(survey, white, black, _pass_each_other)
    return _each_pawn(survey, lambda _: found)


def _pawns_blocked(survey: Survey, _: ThemeValue) -> Words:
    """Every pawn has one of the other side on the square right ahead of it."""

    def is_blocked(man: Man) -> Words:
        found = survey.space.empty()
        for white, black in _against_each_other(survey):
            if man in (white, black):
                found |= _men(survey, white, black, lambda white, black: black == white + 8)
        return found

    return _each_pawn(survey, is_blocked)


def _against_each_other(survey: Survey) -> list[tuple[Man, Man]]:
    """A white pawn and a black one, each with each."""
    pawns = [man for man in survey.space.men if man.is_pawn]
    return [(one, other) for one in pawns for other in pawns if (one.side, other.side) == (WHITE, BLACK)]


def _pass_each_other(white: Squares, black: Squares) -> Mask:
    free: Mask = (np.abs(white % 8 - black % 8) > 1) | (black // 8 <= white // 8)
    return free


def _to_move(survey: Survey, value: ThemeValue) -> Words:
    """All, or none: a survey has one side to move."""
    is_to_move = value == chess.COLOR_NAMES[survey.side == WHITE]
    return _every(survey) if is_to_move else survey.space.empty()


def _result(survey: Survey, value: ThemeValue) -> Words:
    """White wins with best play, or it is a draw."""
    if value == "draw":
        return survey.where(lambda values: values == 0)
    return survey.where(lambda values: values > 0 if survey.side == WHITE else values < 0)


_MOVERS = {"king move": "K", "pawn move": "P", "piece move": "QRBN"}


def _kept_by(survey: Survey, value: ThemeValue) -> Words:
    """Only moves of such a man keep the win or the draw."""
    return survey.kept_by(_MOVERS[str(value)])


def _king_in_front(survey: Survey, _: ThemeValue) -> Words:
    """The own king of each pawn stands on a rank ahead of it."""
    return _each_pawn(
        survey,
        lambda man: _king(
            survey,
            man.side,
            man,
            lambda king, pawn: _rank_for(man.side, king) > _rank_for(man.side, pawn),
        ),
    )


def _lone_king_in_front(survey: Survey, _: ThemeValue) -> Words:
    """The other king stands on the file of each pawn, ahead of it."""

    def ahead(man: Man) -> Related:
        return lambda king, pawn: (
            (king % 8 == pawn % 8) & (_rank_for(man.side, king) > _rank_for(man.side, pawn))
        )

    return _each_pawn(survey, lambda man: _king(survey, 1 - man.side, man, ahead(man)))


def _king_near_pawn(survey: Survey, value: ThemeValue) -> Words:
    """The own king of each pawn is at most so many steps from it."""
    return _each_pawn(survey, lambda man: _king(survey, man.side, man, _at_most(value)))


def _king_far_from_pawn(survey: Survey, value: ThemeValue) -> Words:
    """The own king of each pawn is at least so many steps from it."""
    return _each_pawn(survey, lambda man: _king(survey, man.side, man, _at_least(value)))


def _lone_king_near_pawn(survey: Survey, value: ThemeValue) -> Words:
    """The other king is at most so many steps from each pawn."""
    return _each_pawn(survey, lambda man: _king(survey, 1 - man.side, man, _at_most(value)))


def _lone_king_far_from_pawn(survey: Survey, value: ThemeValue) -> Words:
    """The other king is at least so many steps from each pawn."""
    return _each_pawn(survey, lambda man: _king(survey, 1 - man.side, man, _at_least(value)))


def _lone_king_near_piece(survey: Survey, value: ThemeValue) -> Words:
    """The other king is at most so many steps from some man of a side that is no king and no pawn."""
    found = survey.space.empty()
    for man in survey.space.men:
        if not man.is_pawn:
            found |= _king(survey, 1 - man.side, man, _at_most(value))
    return found


def _kings_near_queening(survey: Survey, value: ThemeValue) -> Words:
    """Both kings are at most so many steps from the square where each pawn queens."""

    def near(man: Man) -> Related:
        return lambda king, pawn: king_steps(king, _last(man.side, pawn)) <= int(value)

    return _each_pawn(
        survey,
        lambda man: _king(survey, WHITE, man, near(man)) & _king(survey, BLACK, man, near(man)),
    )


def _lone_king_on_edge(survey: Survey, _: ThemeValue) -> Words:
    """Black's king stands on the first or last file or rank."""
    return _kings(survey, lambda _, king: np.isin(king % 8, (0, 7)) | np.isin(king // 8, (0, 7)))


def _kings_within(survey: Survey, value: ThemeValue) -> Words:
    """The kings are at most so many steps apart."""
    return _kings(survey, _at_most(value))


def _kings_apart(survey: Survey, value: ThemeValue) -> Words:
    """The kings are at least so many steps apart."""
    return _kings(survey, _at_least(value))


def _bishop(survey: Survey, value: ThemeValue) -> Words:
    """Each pawn stands on the edge, and the bishop of its side can guard its last square, or can't."""

    def suits(man: Man) -> Words:
        own = [each for each in survey.space.men_of(man.side) if each.letter == "B"]
        can = survey.space.empty()
        for bishop in own:
            can |= _men(survey, bishop, man, lambda at, pawn: _shade(at) == _shade(_last(man.side, pawn)))
        is_such = can if value == "right" else ~can
        on_edge = _man(survey, man, np.isin(man.squares % 8, (0, 7)))
        return on_edge & is_such if own else survey.space.empty()

    return _each_pawn(survey, suits)


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


_OF_MEN: dict[str, Callable[[Survey, ThemeValue], Words]] = {
    "pawn_files": _pawn_files,
    "pawn_ranks": _pawn_ranks,
    "pawns_free": _pawns_free,
    "pawns_blocked": _pawns_blocked,
    "to_move": _to_move,
    "result": _result,
    "kept_by": _kept_by,
    "king_in_front": _king_in_front,
    "lone_king_in_front": _lone_king_in_front,
    "king_near_pawn": _king_near_pawn,
    "king_far_from_pawn": _king_far_from_pawn,
    "lone_king_near_pawn": _lone_king_near_pawn,
    "lone_king_far_from_pawn": _lone_king_far_from_pawn,
    "lone_king_near_piece": _lone_king_near_piece,
    "kings_near_queening": _kings_near_queening,
    "lone_king_on_edge": _lone_king_on_edge,
    "kings_within": _kings_within,
    "kings_apart": _kings_apart,
    "bishop": _bishop,
}
_OF_POSITIONS: dict[str, Callable[[Survey, Cells, ThemeValue], Mask]] = {
    "box_at_most": _box_at_most,
    "only_rule": _only_rule,
}
_OF_DRAFT: dict[str, Callable[[chess.Board, Draft, ThemeValue], bool]] = {
    "answer_is": _answer_is,
    "decided_by": _decided_by,
}


def _every(survey: Survey) -> Words:
    return ~survey.space.empty()


def _each_pawn(survey: Survey, suits: Callable[[Man], Words]) -> Words:
    """Where all pawns suit; nowhere if there is none."""
    pawns = [man for man in survey.space.men if man.is_pawn]
    found = _every(survey) if pawns else survey.space.empty()
    for man in pawns:
        found &= suits(man)
    return found


def _man(survey: Survey, man: Man, suits: Mask) -> Words:
    """Where a man stands on one of the squares that suit, which are given by its axis. Shape (64,) in."""
    return survey.space.along(man.axis, _all_or_none(suits))


def _men(survey: Survey, one: Man, other: Man, related: Related) -> Words:
    """Where it is so of the squares of two men."""
    squares = (survey.space.along(man.axis, man.squares) for man in (one, other))
    return _all_or_none(related(*squares))


def _king(survey: Survey, side: int, man: Man, related: Related) -> Words:
    """Where it is so of the squares of a side's king and of a man."""
    space = survey.space
    if side == WHITE:
        return _all_or_none(related(space.along(0, space.kings), space.along(man.axis, man.squares)))
    return space.along(man.axis, packed(related(np.arange(64), man.squares[:, None])))


def _kings(survey: Survey, related: Related) -> Words:
    """Where it is so of the squares of White's king and of Black's."""
    kings = survey.space.kings[:, None]
    suits = np.broadcast_to(related(kings, np.arange(64)), (len(kings), 64))
    return survey.space.along(0, packed(suits))


def _all_or_none(suits: Mask) -> Words:
    """Words for all squares of Black's king where something suits, else for none. Same shape."""
    return np.where(suits, ALL, np.uint64(0))


def _at_most(value: ThemeValue) -> Related:
    return lambda one, other: king_steps(one, other) <= int(value)


def _at_least(value: ThemeValue) -> Related:
    return lambda one, other: king_steps(one, other) >= int(value)


def _rank_for(side: int, squares: Squares) -> Squares:
    """Ranks 1 to 8, counted from a side."""
    return squares // 8 + 1 if side == WHITE else 8 - squares // 8


def _last(side: int, squares: Squares) -> Squares:
    """The square on which a pawn of this file queens."""
    return squares % 8 + (56 if side == WHITE else 0)


def _shade(squares: Squares) -> Squares:
    """0 for dark squares, 1 for light ones."""
    return (squares % 8 + squares // 8) % 2

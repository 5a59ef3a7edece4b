"""Which positions suit a theme that sees where the men stand: each theme one function.

Each is said once for a survey's positions and for those that were placed by chance (`places`). None of them
tells a position from its mirror image.
"""

from collections.abc import Callable
from functools import cache

import chess
import numpy as np

from coachbook.endgame.space import BLACK, WHITE, Man
from coachbook.exercises.places import Mask, Placed, Places, Related, Set, Squares
from coachbook.method.moves import Side
from coachbook.method.positions import king_steps
from coachbook.method.rook_sights import ENDING, RookEnding
from coachbook.method.rook_verdicts import every_pictured, is_pictured
from coachbook.model.known_themes import ThemeValue


def _pawn_files(places: Places, value: ThemeValue) -> Set:
    """Each pawn stands on one of the files, or its mirror image."""
    files = {"abcdefgh".index(letter) for letter in str(value)}
    both = [*files, *(7 - file for file in files)]
    return _each_pawn(places, lambda man: places.where(man, lambda squares: np.isin(squares % 8, both)))


def _pawn_ranks(places: Places, value: ThemeValue) -> Set:
    """Each pawn stands on one of the ranks, from its own side."""
    low, high = (int(rank) for rank in (str(value)[0], str(value)[-1]))

    def suits(man: Man) -> Set:
        return places.where(man, lambda squares: _is_within(_rank_for(man.side, squares), low, high))

    return _each_pawn(places, suits)


def _pawns_free(places: Places, _: ThemeValue) -> Set:
    """No pawn has one of the other side ahead of it, on its own file or the next."""
    found = places.every()
    for white, black in _against_each_other(places):
        found &= places.where_both(white, black, _pass_each_other)
    return _each_pawn(places, lambda _: found)


def _pawns_blocked(places: Places, _: ThemeValue) -> Set:
    """Every pawn has one of the other side on the square right ahead of it."""

    def is_blocked(man: Man) -> Set:
        found = ~places.every()
        for white, black in _against_each_other(places):
            if man in (white, black):
                found |= places.where_both(white, black, lambda white, black: black == white + 8)
        return found

    return _each_pawn(places, is_blocked)


def _against_each_other(places: Places) -> list[tuple[Man, Man]]:
    """A white pawn and a black one, each with each."""
    pawns = [man for man in places.men if man.is_pawn]
    return [(one, other) for one in pawns for other in pawns if (one.side, other.side) == (WHITE, BLACK)]


def _pass_each_other(white: Squares, black: Squares) -> Mask:
    free: Mask = (np.abs(white % 8 - black % 8) > 1) | (black // 8 <= white // 8)
    return free


def _to_move(places: Places, value: ThemeValue) -> Set:
    """All, or none: in all of them the same side is to move."""
    is_to_move = value == chess.COLOR_NAMES[places.side == WHITE]
    return places.every() if is_to_move else ~places.every()


def _king_in_front(places: Places, _: ThemeValue) -> Set:
    """The own king of each pawn stands on a rank ahead of it."""

    def ahead(man: Man) -> Related:
        return lambda king, pawn: _rank_for(man.side, king) > _rank_for(man.side, pawn)

    return _each_pawn(places, lambda man: places.where_king(man.side, man, ahead(man)))


def _lone_king_in_front(places: Places, _: ThemeValue) -> Set:
    """The other king stands on the file of each pawn, ahead of it."""

    def ahead(man: Man) -> Related:
        return lambda king, pawn: (
            (king % 8 == pawn % 8) & (_rank_for(man.side, king) > _rank_for(man.side, pawn))
        )

    return _each_pawn(places, lambda man: places.where_king(1 - man.side, man, ahead(man)))


def _king_near_pawn(places: Places, value: ThemeValue) -> Set:
    """The own king of each pawn is at most so many steps from it."""
    return _each_pawn(places, lambda man: places.where_king(man.side, man, _at_most(value)))


def _king_far_from_pawn(places: Places, value: ThemeValue) -> Set:
    """The own king of each pawn is at least so many steps from it."""
    return _each_pawn(places, lambda man: places.where_king(man.side, man, _at_least(value)))


def _lone_king_near_pawn(places: Places, value: ThemeValue) -> Set:
    """The other king is at most so many steps from each pawn."""
    return _each_pawn(places, lambda man: places.where_king(1 - man.side, man, _at_most(value)))


def _lone_king_far_from_pawn(places: Places, value: ThemeValue) -> Set:
    """The other king is at least so many steps from each pawn."""
    return _each_pawn(places, lambda man: places.where_king(1 - man.side, man, _at_least(value)))


def _lone_king_near_piece(places: Places, value: ThemeValue) -> Set:
    """The other king is at most so many steps from some man of a side that is no king and no pawn."""
    found = ~places.every()
    for man in places.men:
        if not man.is_pawn:
            found |= places.where_king(1 - man.side, man, _at_most(value))
    return found


def _kings_near_queening(places: Places, value: ThemeValue) -> Set:
    """Both kings are at most so many steps from the square where each pawn queens."""

    def near(man: Man) -> Related:
        return lambda king, pawn: king_steps(king, _last(man.side, pawn)) <= int(value)

    return _each_pawn(
        places,
        lambda man: places.where_king(WHITE, man, near(man)) & places.where_king(BLACK, man, near(man)),
    )


def _lone_king_on_edge(places: Places, _: ThemeValue) -> Set:
    """Black's king stands on the first or last file or rank."""
    return places.where_kings(lambda _, king: np.isin(king % 8, (0, 7)) | np.isin(king // 8, (0, 7)))


def _kings_within(places: Places, value: ThemeValue) -> Set:
    """The kings are at most so many steps apart."""
    return places.where_kings(_at_most(value))


def _kings_apart(places: Places, value: ThemeValue) -> Set:
    """The kings are at least so many steps apart."""
    return places.where_kings(_at_least(value))


def _bishop(places: Places, value: ThemeValue) -> Set:
    """Each pawn stands on the edge, and the bishop of its side can guard its last square, or can't."""

    def suits(man: Man) -> Set:
        own = [each for each in places.men if (each.side, each.letter) == (man.side, "B")]
        can = ~places.every()
        for bishop in own:
            can |= places.where_both(
                bishop, man, lambda at, pawn: _shade(at) == _shade(_last(man.side, pawn))
            )
        is_such = can if value == "right" else ~can
        on_edge = places.where(man, lambda squares: np.isin(squares % 8, (0, 7)))
        return on_edge & is_such if own else ~places.every()

    return _each_pawn(places, suits)


def _picture(places: Places, value: ThemeValue) -> Set:
    """A verdict of one of the pictures tells who wins; of placed positions of its own ending only."""
    if not isinstance(places, Placed) or places.space.material.name != ENDING:
        return ~places.every()
    position = RookEnding(*(places.squares[:, axis] for axis in _PICTURED))
    return is_pictured(position, _mover(places.side), str(value).split(", "))


@cache
def every_of(ending: str, side: int, pictures: str) -> Squares:
    """All positions of an ending with this side to move that the pictures show, on one wing, as of `Placed`;
    none of another ending. Takes about a second."""
    if ending != ENDING:
        return np.zeros((0, len(ending)), dtype=np.intp)
    found = every_pictured(_mover(side), pictures.split(", "))
    return np.stack([found.men[place] for place in _PICTURED], axis=1).astype(np.intp)


def _mover(side: int) -> Side:
    return Side.ATTACKER if side == WHITE else Side.LONE_KING


_PICTURED = (0, 1, 2, 4, 3)
"""The axes of the men as `RookEnding` has them: his king before his rook."""


THEMES_OF_MEN: dict[str, Callable[[Places, ThemeValue], Set]] = {
    "pawn_files": _pawn_files,
    "pawn_ranks": _pawn_ranks,
    "pawns_free": _pawns_free,
    "pawns_blocked": _pawns_blocked,
    "to_move": _to_move,
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
    "picture": _picture,
}
"""By name."""


def _each_pawn(places: Places, suits: Callable[[Man], Set]) -> Set:
    """Where all pawns suit; nowhere if there is none."""
    pawns = [man for man in places.men if man.is_pawn]
    found = places.every() if pawns else ~places.every()
    for man in pawns:
        found &= suits(man)
    return found


def _at_most(value: ThemeValue) -> Related:
    return lambda one, other: king_steps(one, other) <= int(value)


def _at_least(value: ThemeValue) -> Related:
    return lambda one, other: king_steps(one, other) >= int(value)


def _is_within(ranks: Squares, low: int, high: int) -> Mask:
    within: Mask = (ranks >= low) & (ranks <= high)
    return within


def _rank_for(side: int, squares: Squares) -> Squares:
    """Ranks 1 to 8, counted from a side."""
    return squares // 8 + 1 if side == WHITE else 8 - squares // 8


def _last(side: int, squares: Squares) -> Squares:
    """The square on which a pawn of this file queens."""
    return squares % 8 + (56 if side == WHITE else 0)


def _shade(squares: Squares) -> Squares:
    """0 for dark squares, 1 for light ones."""
    return (squares % 8 + squares // 8) % 2

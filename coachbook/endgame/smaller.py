"""Where an ending leads: the values of cells that are positions of a smaller ending.

A cell with two men of opposite colours on one square is a capture just made; a cell with a
pawn on its last rank is a promotion just made (the best of four). See `space`.
"""

from collections.abc import Callable, Iterator

import numpy as np
from numpy.typing import NDArray

from coachbook.endgame.material import Material, sort_letters
from coachbook.endgame.space import WHITE, Man, Space

Values = NDArray[np.int8]
IMPOSSIBLE = 127
PROMOTIONS = "QRBN"

LookUp = Callable[[Material, int, NDArray[np.intp], list[slice]], Values]
"""(material, side to move, squares of the white king, wanted indices for each man's axis) ->
values of shape (kings, wanted ..., 64). The colours are as the material says, canonical or not."""


def fill_smaller(space: Space, side: int, look_up: LookUp) -> Values:
    """The values, for this side to move, of all cells of smaller endings; elsewhere IMPOSSIBLE."""
    filled = np.full((*space.shape, 64), IMPOSSIBLE, dtype=np.int8)
    for taken in space.men_of(side):
        _fill_captures(space, taken, look_up, filled)
    for pawn in space.men_of(1 - side):
        if pawn.is_pawn:
            promotions = [promoted(space, pawn, letter, look_up) for letter in PROMOTIONS]
            filled[space.at({pawn.axis: pawn.last_rank})] = np.minimum.reduce(promotions)
    return filled


def smaller_endings(material: Material) -> set[Material]:
    """The endings, colours as they fall, that one capture or promotion leads to."""
    found = set()
    for index in range(len(material.white)):
        found.add(Material(_without(material.white, index), material.black))
    for index in range(len(material.black)):
        found.add(Material(material.white, _without(material.black, index)))
    for letter in PROMOTIONS:
        if "P" in material.white:
            found.add(Material(_promote(material.white, letter), material.black))
        if "P" in material.black:
            found.add(Material(material.white, _promote(material.black, letter)))
    return found


def _fill_captures(space: Space, taken: Man, look_up: LookUp, filled: Values) -> None:
    """All cells in which the other side has just taken this man."""
    side = taken.side
    letters = [space.material.white, space.material.black]
    letters[side] = _without(letters[side], space.men_of(side).index(taken))
    others = [slice(0, 64) for _ in space.men[1:]]
    left = look_up(Material(*letters), side, space.kings, others)
    without_taken = np.expand_dims(left, taken.axis)
    for taker in (0, *(man.axis for man in space.men_of(1 - side)), len(space.shape)):
        for square, index in _arrivals(space, taken, taker):
            here = {taker: slice(index, index + 1)}
            there = here | {taken.axis: slice(square, square + 1)}
            filled[_at(there, filled.ndim)] = without_taken[_at(here, filled.ndim)]


def _arrivals(space: Space, taken: Man, taker: int) -> Iterator[tuple[int, int]]:
    """The squares on which the man of axis `taker` can take this one, with his index there."""
    white_king, black_king = 0, len(space.shape)
    if taker == (black_king if taken.side != WHITE else white_king):
        return
    by_pawn = white_king < taker < black_king and space.men[taker - 1].is_pawn
    squares = range(8, 56) if taken.is_pawn or by_pawn else range(64)
    if taker == white_king:
        yield from ((square, row) for row, square in enumerate(space.kings) if square in squares)
    else:
        yield from ((square, square) for square in squares)


def _at(indices: dict[int, slice], ndim: int) -> tuple[slice, ...]:
    return tuple(indices.get(axis, slice(None)) for axis in range(ndim))


def promoted(space: Space, pawn: Man, letter: str, look_up: LookUp) -> Values:
    """The values of the cells in which this pawn has just been promoted to this piece.

    Shape of the space with the black king's axis, but only the pawn's last rank on its own axis.
    """
    material = space.material
    if pawn.side == WHITE:
        target = Material(_promote(material.white, letter), material.black)
        axis = 1 + target.white.index(letter)
    else:
        target = Material(material.white, _promote(material.black, letter))
        axis = 1 + len(material.white) + target.black.index(letter)
    wanted = [slice(0, 64) for _ in space.men]
    wanted[axis - 1] = pawn.last_rank
    return np.moveaxis(look_up(target, 1 - pawn.side, space.kings, wanted), axis, pawn.axis)


def _without(letters: str, index: int) -> str:
    return letters[:index] + letters[index + 1 :]


def _promote(letters: str, letter: str) -> str:
    return sort_letters(letters.replace("P", letter, 1))

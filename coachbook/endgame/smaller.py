"""Where an ending leads: the values of cells that are positions of a smaller ending.

A cell with two men of opposite colours on one square is a capture just made; a cell with a
pawn on its last rank is a promotion just made (the best of four). See `space`. A pawn's capture
leads out of a slice: there the values are kept at the cells in which it can be made.
"""

from collections.abc import Callable, Iterator, Sequence
from itertools import product

import chess
import numpy as np
from numpy.typing import NDArray

from coachbook.endgame.material import Material, sort_letters
from coachbook.endgame.space import BLACK, WHITE, Man, Space

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
            found.add(promote(material, WHITE, letter))
        if "P" in material.black:
            found.add(promote(material, BLACK, letter))
    return found


def promote(material: Material, side: int, letter: str) -> Material:
    """What is on the board once a pawn of this side has become this piece."""
    white, black = material.white, material.black
    if side == WHITE:
        return Material(_promote(white, letter), black)
    return Material(white, _promote(black, letter))


def _fill_captures(space: Space, taken: Man, look_up: LookUp, filled: Values) -> None:
    """All cells in which the other side has just taken this man."""
    side = taken.side
    letters = [space.material.white, space.material.black]
    letters[side] = _without(letters[side], space.men_of(side).index(taken))
    others = [man.wanted for man in space.men if man is not taken]
    left = look_up(Material(*letters), side, space.kings, others)
    without_taken = np.expand_dims(left, taken.axis)
    for taker in (0, *(man.axis for man in space.men_of(1 - side)), len(space.shape)):
        for index_of_taken, index in _arrivals(space, taken, taker):
            here = {taker: slice(index, index + 1)}
            there = here | {taken.axis: slice(index_of_taken, index_of_taken + 1)}
            filled[_at(there, filled.ndim)] = without_taken[_at(here, filled.ndim)]


def _arrivals(space: Space, taken: Man, taker: int) -> Iterator[tuple[int, int]]:
    """The indices of this man on its axis at which the man of axis `taker` can take it, with his there."""
    white_king, black_king = 0, len(space.shape)
    if taker == (black_king if taken.side != WHITE else white_king):
        return
    by_pawn = white_king < taker < black_king and space.men[taker - 1].is_pawn
    if by_pawn and space.file is not None:
        return
    squares = range(8, 56) if taken.is_pawn or by_pawn else range(64)
    places = space.kings if taker == white_king else range(64)
    index_at = {square: index for index, square in enumerate(places)}
    for index, square in enumerate(range(64) if taken.file is None else range(taken.file, 64, 8)):
        if square in squares and square in index_at:
            yield index, index_at[square]


def _at(indices: dict[int, slice], ndim: int) -> tuple[slice, ...]:
    return tuple(indices.get(axis, slice(None)) for axis in range(ndim))


def promoted(space: Space, pawn: Man, letter: str, look_up: LookUp) -> Values:
    """The values of the cells in which this pawn has just been promoted to this piece.

    Shape of the space with the black king's axis, but only the pawn's last rank on its own axis.
    """
    last_rank = slice(int(pawn.squares[pawn.last_rank][0]), int(pawn.squares[pawn.last_rank][-1]) + 1)
    others = [man for man in space.men if man is not pawn]
    found, axis = _arrived(space, pawn, others, letter, last_rank, look_up)
    return np.moveaxis(found, axis, pawn.axis)


def fill_leaving(space: Space, side: int, look_up: LookUp) -> Values | None:
    """For cells of a slice in which pawns of this side, to move, can take something: the best of these moves,
    as the value that the other side then has; elsewhere IMPOSSIBLE. None where no move leaves the space."""
    pawns = [man for man in space.men_of(side) if man.is_pawn and man.file is not None]
    if not pawns:
        return None
    best = np.full((*space.shape, 64), IMPOSSIBLE, dtype=np.int8)
    for pawn, taken in product(pawns, space.men_of(1 - side)):
        for index, square in _captures(pawn):
            at = {pawn.axis: slice(index, index + 1), taken.axis: slice(square, square + 1)}
            here = best[_at(at, best.ndim)]
            after = _after_capture(space, pawn, taken, square, look_up)
            np.minimum(here, after.reshape(here.shape), out=here)
    return best


def _captures(pawn: Man) -> Iterator[tuple[int, int]]:
    """The indices of a pawn on its axis, each with the squares on which it can take something."""
    for index, square in enumerate(map(int, pawn.squares)):
        if 8 <= square < 56:
            for taken in chess.SquareSet(chess.BB_PAWN_ATTACKS[pawn.side == WHITE][square]):
                yield index, taken


def _after_capture(space: Space, pawn: Man, taken: Man, square: int, look_up: LookUp) -> Values:
    """The values once this pawn has taken this man on a square (and then is the best of four there, if it is
    on its last rank): shape of the space with the black king's axis, without those of both men."""
    others = [man for man in space.men if man not in (pawn, taken)]
    letters = PROMOTIONS if chess.BB_BACKRANKS & chess.BB_SQUARES[square] else "P"
    arrived = (
        _arrived(space, pawn, others, letter, slice(square, square + 1), look_up) for letter in letters
    )
    best: Values = np.minimum.reduce([values.squeeze(axis) for values, axis in arrived])
    return best


def _arrived(
    space: Space, pawn: Man, others: Sequence[Man], letter: str, where: slice, look_up: LookUp
) -> tuple[Values, int]:
    """The values, for the other side to move, with this pawn on some squares as the man of a letter, and only
    these other men: the axes of the white king, the men and the black king; and which is the pawn's."""
    sides = ["".join(man.letter for man in others if man.side == side) for side in (WHITE, BLACK)]
    sides[pawn.side] = sort_letters(sides[pawn.side] + letter)
    place = sides[pawn.side].index(letter) + (len(sides[WHITE]) if pawn.side == BLACK else 0)
    wanted = [man.wanted for man in others]
    wanted.insert(place, where)
    return look_up(Material(*sides), 1 - pawn.side, space.kings, wanted), 1 + place


def _without(letters: str, index: int) -> str:
    return letters[:index] + letters[index + 1 :]


def _promote(letters: str, letter: str) -> str:
    return sort_letters(letters.replace("P", letter, 1))

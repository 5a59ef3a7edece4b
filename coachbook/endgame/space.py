"""All positions of one ending as one array: its axes, and which of its cells are positions.

Axis 0 is the white king (10 or 32 squares, see `symmetry.king_squares`), then one axis of 64
for each further man, White's first. The black king is packed into the bits of a uint64 word,
so that a *set of positions* is an array of `Space.shape` words, and one word holds 64 of them.

Two cells that a board could not show carry useful meanings:

* Two men of opposite colours on one square: the side that has just moved took the other man.
  Such a cell is a position of a smaller ending. So is a pawn on its last rank (just promoted).
* A pawn on its own first rank, where no pawn can be: it has just made its double step, and
  stands on the fourth rank of its file; it may be taken en passant.

An ending with one pawn can be had a file at a time (a *slice*), for a pawn leaves its file only by a
capture, which leads to a smaller ending. Then the white king has all 64 squares and the pawn's
axis eight, its ranks from White's side; with the pawn on files a to d these are all positions up
to mirroring.
"""

from dataclasses import dataclass
from functools import cached_property
from typing import TypeVar

import chess
import numpy as np
from numpy.typing import NDArray

from coachbook.endgame.material import Material
from coachbook.endgame.symmetry import Words, king_squares

_Scalar = TypeVar("_Scalar", bound=np.generic)

ALL, ONE = np.uint64(0xFFFFFFFFFFFFFFFF), np.uint64(1)
WHITE, BLACK = 0, 1


@dataclass(frozen=True)
class Man:
    """One man besides the kings: its letter (QRBNP), its side and its axis."""

    letter: str
    side: int
    axis: int
    file: int | None = None
    """Of a pawn in a slice: its file, 0 to 7."""

    @property
    def length(self) -> int:
        """How many indices its axis has."""
        return 64 if self.file is None else 8

    @property
    def is_pawn(self) -> bool:
        return self.letter == "P"

    def rank(self, number: int) -> slice:
        """The indices of a rank on its axis, ranks counted from its own side: 1 to 8."""
        rank, wide = (number - 1 if self.side == WHITE else 8 - number), self.length // 8
        return slice(rank * wide, (rank + 1) * wide)

    @property
    def just_pushed(self) -> slice:
        """The indices on its axis that mean "has just made its double step"."""
        return self.rank(1)

    @property
    def after_double_step(self) -> slice:
        return self.rank(4)

    @property
    def last_rank(self) -> slice:
        return self.rank(8)

    @property
    def wanted(self) -> slice:
        """The squares of its axis, as indices of an axis that has all 64."""
        return slice(0, 64) if self.file is None else slice(self.file, 64, 8)

    @cached_property
    def squares(self) -> NDArray[np.intp]:
        """The square on which it stands, for each index of its axis. Shape (length,)."""
        squares = np.arange(64) if self.file is None else np.arange(self.file, 64, 8)
        if self.is_pawn:
            squares[self.just_pushed] = squares[self.after_double_step]
        return squares


class Space:
    """The positions of one ending, or those with its one pawn on this file (see the head of this file)."""

    def __init__(self, material: Material, file: int | None = None) -> None:
        self.material = material
        self.file = file
        self.kings = np.array(king_squares(material.has_pawns)) if file is None else np.arange(64)
        letters = [(letter, WHITE) for letter in material.white] + [(b, BLACK) for b in material.black]
        self.men = tuple(
            Man(letter, side, axis, file if letter == "P" else None)
            for axis, (letter, side) in enumerate(letters, start=1)
        )
        self.shape = (len(self.kings), *(man.length for man in self.men))

    def men_of(self, side: int) -> tuple[Man, ...]:
        return tuple(man for man in self.men if man.side == side)

    def along(self, axis: int, values: NDArray[_Scalar]) -> NDArray[_Scalar]:
        """Values of one axis, shaped so that they broadcast over the whole space."""
        return values.reshape([-1 if a == axis else 1 for a in range(len(self.shape))])

    def at(self, indices: dict[int, int | slice]) -> tuple[int | slice, ...]:
        """An index into the space: these axes as given, the others whole."""
        return tuple(indices.get(axis, slice(None)) for axis in range(len(self.shape)))

    def axis_squares(self, axis: int) -> NDArray[np.intp]:
        return self.kings if axis == 0 else self.men[axis - 1].squares

    def stands_alone(self, axis: int) -> Words:
        """The cells in which the man (or king) of this axis shares its square with nobody."""
        own = self.axis_squares(axis)
        alone = np.broadcast_to(self.along(axis, ~(np.uint64(1) << own.astype(np.uint64))), self.shape).copy()
        for other in range(len(self.shape)):
            if other != axis:
                apart = self.along(axis, own) != self.along(other, self.axis_squares(other))
                alone *= apart
        return alone

    @cached_property
    def kings_apart(self) -> Words:
        """The cells in which the kings are not on neighbouring squares. Shape (K, 1, ...)."""
        near = [chess.BB_KING_ATTACKS[q] | chess.BB_SQUARES[q] for q in self.kings]
        return self.along(0, ~np.array(near, dtype=np.uint64))

    def empty(self) -> Words:
        return np.zeros(self.shape, dtype=np.uint64)

"""One table: the values of an ending, and where to look a position up in them.

In bulk (`look_up`), as the solver of a larger ending needs it; or one by one (`Reader`), where
Python's own pace decides: all that depends on no more than the kinds of men is worked out once.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from operator import itemgetter
from typing import NamedTuple, Protocol

import numpy as np
from numpy.typing import NDArray

from coachbook.endgame.material import PIECES, Material
from coachbook.endgame.smaller import Values
from coachbook.endgame.symmetry import FLIP, king_rows, king_squares, turned

BLACK_CODE = len(PIECES)
"""Men have codes: a white one its place in PIECES, counted from 1; a black one this much more."""
KEY_BASE = 16
"""The men of a board have a key: their codes as the digits of one number to this base, in any order."""


FROM_DISK, NOT_KEPT = 1024, 512
"""Greater than any value, see `ByIndex`."""


class ByIndex(Protocol):
    """The values of a table on disk, which do not say whether there is a position."""

    def __getitem__(self, index: int, /) -> int:
        """FROM_DISK and the value, which is any one where there is no position; or NOT_KEPT: the table has
        the other side to move only."""


class Reader(NamedTuple):
    """Where the men of a board, taken in a given order, lie in the values of a table.

    The index of a position is `starts[White is to move]`, plus `kings[square][0]` for the king
    that is the table's white one (`exchanged`: the black one on the board), plus, with
    `where = kings[square][1]`: `where[square]` for the other king and `where[square] * step` for
    each man, `steps` in the order of the men.
    """

    values: "memoryview[int] | ByIndex"
    kings: tuple[tuple[int, tuple[int, ...]], ...]
    steps: tuple[int, ...]
    starts: tuple[int, int]
    exchanged: bool


@dataclass(frozen=True, slots=True)
class Table:
    """The values of one ending, White the stronger side: shape (2, K, 64, ..., 64), int8.

    Axes: side to move, white king's row, the men in order, black king. The meaning of the
    values is at the head of `retrograde`, that of the rows in `symmetry.king_squares`.
    """

    material: Material
    values: Values

    def look_up(self, side: int, kings: NDArray[np.intp], wanted: Sequence[slice]) -> Values:
        """Values with the colours of the table, see `smaller.LookUp`."""
        found = np.empty((len(kings), *lengths(wanted), 64), dtype=np.int8)
        for index, king in enumerate(kings):
            row, turn = king_rows(self.material.has_pawns)[king]
            if turn == 0:
                found[index] = self.values[(side, row, *wanted)]
            else:
                squares = np.array(turned(turn))
                found[index] = self.values[side, row][np.ix_(*(squares[w] for w in wanted), squares)]
        return found

    def look_up_flipped(self, side: int, kings: NDArray[np.intp], wanted: Sequence[slice]) -> Values:
        """The same for the ending with colours exchanged: its black king is this table's white one."""
        found = np.empty((len(kings), *lengths(wanted), 64), dtype=np.int8)
        flip = np.array(turned(FLIP))
        theirs = len(self.material.black)
        own = [flip[w] for w in (*wanted[theirs:], *wanted[:theirs])]
        axes = (len(own), *range(len(own) - theirs, len(own)), *range(len(own) - theirs))
        for king in range(64):
            row, turn = king_rows(self.material.has_pawns)[flip[king]]
            squares = np.array(turned(turn))
            values = self.values[1 - side, row][np.ix_(*(squares[w] for w in own), squares[flip[kings]])]
            found[..., king] = values.transpose(axes)
        return found

    def reader(self, codes: Sequence[int], exchanged: bool) -> Reader:
        """How to read single positions whose men have these codes (see BLACK_CODE), in this order.

        `exchanged`: the colours of the board are not those of the table.
        """
        return reader_of(self.material, memoryview(self.values.reshape(-1).data), codes, exchanged)


def reader_of(
    material: Material, values: "memoryview[int] | ByIndex", codes: Sequence[int], exchanged: bool
) -> Reader:
    """How to read single positions of a material from values that lie as those of its table, in one row; see
    `Table.reader`."""
    whole = 64 ** (1 + len(codes))
    kings = []
    for square in range(64):
        row, turn = king_rows(material.has_pawns)[turned(FLIP)[square] if exchanged else square]
        to = turned(turn)
        kings.append((row * whole, tuple(to[q] for q in turned(FLIP)) if exchanged else to))
    side_of_board = len(king_squares(material.has_pawns)) * whole
    return Reader(
        values=values,
        kings=tuple(kings),
        steps=tuple(whole // 64**axis for axis in _axes(material, codes, exchanged)),
        starts=(0, side_of_board) if exchanged else (side_of_board, 0),
        exchanged=exchanged,
    )


def _axes(material: Material, codes: Sequence[int], exchanged: bool) -> list[int]:
    """The axis of each man, counted from 1."""
    next_axis = [1, 1 + len(material.white)]
    axes = [0] * len(codes)
    for man, code in sorted(enumerate(codes), key=itemgetter(1)):  # a table has the stronger kinds first
        side = int((code > BLACK_CODE) is not exchanged)
        axes[man] = next_axis[side]
        next_axis[side] += 1
    return axes


def lengths(wanted: Sequence[slice]) -> tuple[int, ...]:
    """How many of 64 indices each slice takes."""
    return tuple(len(range(64)[w]) for w in wanted)

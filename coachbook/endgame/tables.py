"""Tables of exact mate distances: solved when first asked for, then kept.

Tables of four men and more are also kept on disk (see `cache`); smaller ones take a few
hundredths of a second to solve.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import cache
from itertools import combinations_with_replacement
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from coachbook.endgame.cache import cache_folder, read_values, write_values
from coachbook.endgame.material import PIECES, Material
from coachbook.endgame.retrograde import solve
from coachbook.endgame.smaller import Values, smaller_endings
from coachbook.endgame.space import Space
from coachbook.endgame.symmetry import FLIP, king_rows, turned
from coachbook.errors import CoachbookError

MOST_MEN = 4
_CACHED_FROM = 4


class UnknownEndingError(CoachbookError):
    """The tables don't cover this: too many men, castling rights, or no legal position."""


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
        found = np.empty((len(kings), *_lengths(wanted), 64), dtype=np.int8)
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
        found = np.empty((len(kings), *_lengths(wanted), 64), dtype=np.int8)
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


class Tables:
    """All tables asked for so far. `folder` keeps the larger ones between runs; None: nowhere."""

    def __init__(self, folder: Path | None) -> None:
        self._folder = folder
        self._known: dict[Material, Table] = {}
        self._oriented: dict[tuple[str, str], tuple[Table, bool]] = {}

    def table(self, material: Material) -> Table:
        """The table of a canonical material; solved, with all it needs, if not yet known.

        Raises UnknownEndingError for more than four men.
        """
        if material not in self._known:
            if material.men > MOST_MEN:
                raise UnknownEndingError(
                    f"{material.name} has {material.men} men; the tables go up to {MOST_MEN}.",
                    "Take men off the board.",
                )
            self._known[material] = self._read(material) or self._solve(material)
        return self._known[material]

    def oriented(self, white: str, black: str) -> tuple[Table, bool]:
        """The table for these men (in the order QRBNP), and whether its colours are exchanged."""
        key = white, black
        if key not in self._oriented:
            material = Material(white, black)
            self._oriented[key] = self.table(material.canonical), material.canonical != material
        return self._oriented[key]

    def look_up(
        self, material: Material, side: int, kings: NDArray[np.intp], wanted: Sequence[slice]
    ) -> Values:
        """Values of an ending with the colours as given, see `smaller.LookUp`."""
        table = self.table(material.canonical)
        look = table.look_up if table.material == material else table.look_up_flipped
        return look(side, kings, wanted)

    def _read(self, material: Material) -> Table | None:
        if self._folder is None or material.men < _CACHED_FROM:
            return None
        values = read_values(self._folder, material)
        return None if values is None else Table(material, values)

    def _solve(self, material: Material) -> Table:
        values = solve(Space(material), self.look_up)
        if self._folder is not None and material.men >= _CACHED_FROM:
            write_values(self._folder, material, values)
        return Table(material, values)


@cache
def shared_tables() -> Tables:
    """The tables that everything in this process uses, kept in the user's cache folder."""
    return Tables(cache_folder())


def all_materials(men: int = MOST_MEN) -> tuple[Material, ...]:
    """Every canonical ending of three to `men` men, smaller ones first."""
    found = set()
    for extra in range(1, men - 1):
        for white in range(extra + 1):
            for whites in combinations_with_replacement(PIECES, white):
                for blacks in combinations_with_replacement(PIECES, extra - white):
                    found.add(Material("".join(whites), "".join(blacks)).canonical)
    return tuple(
        sorted(found, key=lambda m: (m.men, m.has_pawns, [PIECES.index(p) for p in m.white + m.black]))
    )


def build(materials: Sequence[Material], tables: Tables, progress: Callable[[int, int, str], None]) -> None:
    """Make sure that these tables exist, with all that they need. `progress(done, of, name)`."""
    order = _with_smaller(materials)
    for done, material in enumerate(order):
        progress(done, len(order), material.name)
        tables.table(material)
    progress(len(order), len(order), "")


def _with_smaller(materials: Sequence[Material]) -> tuple[Material, ...]:
    """These and all endings they lead to, each after those it leads to."""
    order: dict[Material, None] = {}

    def visit(material: Material) -> None:
        if material not in order:
            for smaller in sorted(m.canonical for m in smaller_endings(material)):
                visit(smaller)
            order[material] = None

    for material in materials:
        visit(material)
    return tuple(order)


def _lengths(wanted: Sequence[slice]) -> tuple[int, ...]:
    return tuple(w.stop - w.start for w in wanted)

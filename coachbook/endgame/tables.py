"""Tables of exact mate distances: solved when first asked for, checked whenever they are read.

Tables of four men are also kept on disk; smaller ones take a few hundredths of a second to solve. A file
is a checksum of all that follows, a line of JSON (format, material, shape), and the values, compressed.
One that is damaged, or of another format, is never trusted: it is solved again. It is written beside its
place and then renamed, so that two processes can't harm each other.
"""

import json
import os
import tempfile
import zlib
from collections.abc import Callable, Sequence
from contextlib import suppress
from functools import cache
from hashlib import blake2b
from itertools import combinations_with_replacement
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from coachbook.endgame.large_table import LargeTable, check_can_be_large, open_large
from coachbook.endgame.material import PIECES, Material, UnknownEndingError
from coachbook.endgame.retrograde import solve
from coachbook.endgame.smaller import Values, smaller_endings
from coachbook.endgame.space import Space
from coachbook.endgame.table import BLACK_CODE, KEY_BASE, Reader, Table
from coachbook.files.reading import cache_folder

FORMAT = "coachbook mate distances 2"
"""To be raised whenever the solver's values or their order change."""


def read_values(folder: Path, material: Material) -> Values | None:
    """The values of a table, or None where there is no sound file."""
    try:
        content = _file(folder, material).read_bytes()
    except OSError:
        return None
    checksum, _, rest = content.partition(b"\n")
    head, _, packed = rest.partition(b"\n")
    if checksum != _checksum(rest):
        return None
    fields = json.loads(head)
    if (fields["format"], fields["material"]) != (FORMAT, material.name):
        return None
    return np.frombuffer(zlib.decompress(packed), dtype=np.int8).reshape(fields["shape"])


def is_kept(folder: Path, material: Material) -> bool:
    """Whether there is a file for this table, sound or not."""
    return _file(folder, material).exists()


def write_values(folder: Path, material: Material, values: Values) -> None:
    """Keep a table. Where the folder can't be written, nothing happens: it is only a cache."""
    head = json.dumps({"format": FORMAT, "material": material.name, "shape": values.shape})
    rest = head.encode() + b"\n" + zlib.compress(values.tobytes(), level=1)
    with suppress(OSError):
        folder.mkdir(parents=True, exist_ok=True)
        handle, name = tempfile.mkstemp(dir=folder, prefix=material.name)
        try:
            with os.fdopen(handle, "wb") as file:
                file.write(_checksum(rest) + b"\n" + rest)
            Path(name).replace(_file(folder, material))
        finally:
            Path(name).unlink(missing_ok=True)


def _file(folder: Path, material: Material) -> Path:
    return folder / f"{material.name}.mates"


def _checksum(content: bytes) -> bytes:
    return blake2b(content, digest_size=16).hexdigest().encode()


MOST_MEN = 4
_CACHED_FROM = 4


class Tables:
    """All tables asked for so far. `folder` keeps the larger ones between runs; None: nowhere.

    Endings of up to `most_men` are solved and held in memory; larger ones are read from the folder, if they
    were built (see `build_large`).
    """

    def __init__(self, folder: Path | None, most_men: int = MOST_MEN) -> None:
        self.folder, self.most_men = folder, most_men
        self._known: dict[Material, Table] = {}
        self._large: dict[tuple[Material, int | None], LargeTable] = {}
        self.readers = Readers(self)

    def table(self, material: Material) -> Table:
        """The whole table of a canonical material; solved, with all it needs, if not yet known.

        Raises UnknownEndingError for more than four men.
        """
        if material not in self._known:
            if material.men > self.most_men:
                raise UnknownEndingError(
                    f"{material.name} has {material.men} men; this needs an ending of up to {self.most_men}.",
                    "Take men off the board.",
                )
            self._known[material] = self._read(material) or self._solve(material)
        return self._known[material]

    def large(self, material: Material, side: int | None = None) -> LargeTable:
        """The table of a canonical material with five men, with this side to move or with either.

        Raises UnknownEndingError if there is none: such a table is only built when somebody asks for that.
        """
        check_can_be_large(material)
        if (material, side) not in self._large:
            self._large[material, side] = open_large(material, self.folder, side)
        return self._large[material, side]

    def oriented(self, material: Material) -> tuple[Table, bool]:
        """The table for a material, canonical or not, and whether its colours are exchanged."""
        return self.table(material.canonical), material.canonical != material

    def look_up(
        self, material: Material, side: int, kings: NDArray[np.intp], wanted: Sequence[slice]
    ) -> Values:
        """Values of an ending with the colours as given, see `smaller.LookUp`."""
        if material.men > self.most_men:
            return self.large(material, side).look_up(side, kings, wanted)
        table, exchanged = self.oriented(material)
        look = table.look_up_flipped if exchanged else table.look_up
        return look(side, kings, wanted)

    def reader(self, material: Material, codes: Sequence[int]) -> Reader:
        """How to read single positions of a material, canonical or not, whose men have these codes."""
        canonical = material.canonical
        table = self.table(canonical) if material.men <= self.most_men else self.large(canonical)
        return table.reader(codes, canonical != material)

    def lasting(self, material: Material) -> bool:
        """Whether the next run has this table at once: kept on disk, or too small to need it."""
        small = material.men < _CACHED_FROM
        return small or (self.folder is not None and is_kept(self.folder, material))

    def is_at_hand(self, material: Material) -> bool:
        """Whether this run has this table without solving it, or at once."""
        return material in self._known or self.lasting(material)

    def _read(self, material: Material) -> Table | None:
        if self.folder is None or material.men < _CACHED_FROM:
            return None
        values = read_values(self.folder, material)
        return None if values is None else Table(material, values)

    def _solve(self, material: Material) -> Table:
        values = solve(Space(material), self.look_up)
        if self.folder is not None and material.men >= _CACHED_FROM:
            write_values(self.folder, material, values)
        return Table(material, values)


class Readers(dict[int, Reader]):
    """Ways to read single positions, by the key of their men (see `table`), made when asked for."""

    def __init__(self, tables: Tables) -> None:
        super().__init__()
        self._tables = tables

    def __missing__(self, key: int) -> Reader:
        codes: list[int] = []
        left = key
        while left:
            left, code = divmod(left, KEY_BASE)
            codes.insert(0, code)
        white = "".join(PIECES[code - 1] for code in sorted(codes) if code <= BLACK_CODE)
        black = "".join(PIECES[code - BLACK_CODE - 1] for code in sorted(codes) if code > BLACK_CODE)
        self[key] = self._tables.reader(Material(white, black), codes)
        return self[key]


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
        sorted(
            found,
            key=lambda m: (m.men, m.has_pawns, [PIECES.index(p) for p in m.white + m.black], len(m.black)),
        )
    )


def build(materials: Sequence[Material], tables: Tables, progress: Callable[[int, int, str], None]) -> None:
    """Make sure that these tables exist, with all that they need. `progress(done, of, name)`."""
    order = with_smaller(materials)
    for done, material in enumerate(order):
        progress(done, len(order), material.name)
        tables.table(material)
    progress(len(order), len(order), "")


def is_ready(material: Material, tables: Tables) -> bool:
    """Whether this table and all that it leads to are known, kept, or too small to wait for."""
    return all(tables.is_at_hand(each) for each in with_smaller([material.canonical]))


def with_smaller(materials: Sequence[Material]) -> tuple[Material, ...]:
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

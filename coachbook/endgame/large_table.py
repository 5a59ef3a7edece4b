"""The table of an ending with five men: too large for memory, so kept on disk in parts, and read by blocks.

A part has the values of one space (the whole ending, or with a pawn one of the files a to d) with one side
to move. Their axes are those of the space, but the pawn's has only the six ranks on which it can stay;
where there is no position the value before it stands again, for that is the shortest when it is compressed.
Without pawns one side to move is enough: with the other, a position is worth its best move. With a pawn
both are kept, because the tables of four men to which captures lead take long to read from disk.
"""

from collections.abc import Iterator, Mapping, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from functools import cached_property
from math import prod
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray

from coachbook.endgame.block_file import BLOCK, BlockFile, DamagedFileError, write_blocks
from coachbook.endgame.material import Material, UnknownEndingError
from coachbook.endgame.retrograde import LONGEST, Rules
from coachbook.endgame.smaller import IMPOSSIBLE, Values
from coachbook.endgame.space import BLACK, WHITE, Space
from coachbook.endgame.symmetry import Words, king_rows, king_squares, turned, unpacked
from coachbook.endgame.table import FROM_DISK, NOT_KEPT, Reader, lengths, reader_of
from coachbook.errors import Advice, Step

FORMAT = "coachbook mate distances of five men 1"
"""To be raised whenever the values or their order change."""
MOST_MEN_ON_DISK = 5
_TOO_LONG = Material("PP", "P")
"""254 half moves: a posting on the longest mates of the tables of up to five men."""
_STAYS = slice(1, 7)
"""The ranks, from White's side and counted from 0, on which a pawn can stay."""


@dataclass(frozen=True, slots=True)
class Part:
    """A part of a table: its ending (canonical), the side to move, and the file of its pawn (0 to 3)."""

    material: Material
    side: int
    file: int | None

    @property
    def name(self) -> str:
        """Such as "KRPKR-a-black"."""
        return f"{self.space_name}-{'black' if self.side == BLACK else 'white'}"

    @property
    def space_name(self) -> str:
        """The same for either side to move, such as "KRPKR-a"."""
        return self.material.name if self.file is None else f"{self.material.name}-{'abcd'[self.file]}"

    def path(self, folder: Path) -> Path:
        return folder / f"{self.name}.blocks"


def parts_of(material: Material, side: int) -> tuple[Part, ...]:
    """All parts of a table with this side to move."""
    return tuple(Part(material, side, file) for file in (range(4) if material.has_pawns else (None,)))


def check_can_be_large(material: Material) -> None:
    """Raises UnknownEndingError for more than five men, and for those that would take too much."""
    if material.men > MOST_MEN_ON_DISK:
        raise UnknownEndingError(
            f"This ending has {material.men} men; the tables go up to {MOST_MEN_ON_DISK}.",
            "Take men off the board.",
        )
    if material == _TOO_LONG:
        raise UnknownEndingError(
            f"{material.name} has a mate in 127 moves, and a table holds {LONGEST} at most.",
            "Take men off the board.",
        )
    if (material.white + material.black).count("P") > 1:
        raise UnknownEndingError(
            f"{material.name} would take too much: with five men there can be one pawn at most.",
            "Take men off the board.",
        )


def is_sound(part: Part, folder: Path) -> bool:
    """Whether there is a file for this part, every block of which is as it was written."""
    try:
        with _open(part, folder) as file:
            file.check()
    except (OSError, DamagedFileError):
        return False
    return True


def write_part(
    part: Part, folder: Path, values: Values, legal: Words, figures: Sequence[Mapping[str, object]]
) -> None:
    """Keep a part: the values of its space with its side to move, and which cells are positions then.
    `figures` are kept with them. Raises CoachbookError if it cannot be written."""
    if part.file is not None:
        axis = 1 + (part.material.white + part.material.black).index("P")
        stays = tuple(_STAYS if each == axis else slice(None) for each in range(legal.ndim))
        values, legal = values[stays], np.ascontiguousarray(legal[stays])
    head = {"format": FORMAT, "part": part.name, "figures": figures}
    write_blocks(
        part.path(folder), head, _without_gaps(np.ascontiguousarray(values).reshape(-1), legal.reshape(-1))
    )


def _without_gaps(values: Values, legal: Words) -> Iterator[bytes]:
    """The blocks of a part, each value that is of no position replaced by the one before."""
    order = np.arange(BLOCK)
    for start in range(0, len(values), BLOCK):
        words = legal[start // 64 : (start + BLOCK) // 64]
        positions = unpacked(words)
        last = np.maximum.accumulate(order[: len(positions)] * positions)
        yield values[start : start + BLOCK][last].tobytes()


def _open(part: Part, folder: Path) -> BlockFile:
    """Raises DamagedFileError for a file that is not this part, and OSError where there is none."""
    file = BlockFile(part.path(folder))
    if (file.head.get("format"), file.head.get("part")) != (FORMAT, part.name):
        raise DamagedFileError(f"{file.path} is not {part.name}")
    return file


class LargeTable:
    """A table of five men with one side to move or both, whose parts are in a folder.

    Raises UnknownEndingError if there are not all of them, or one is damaged; so does whatever reads values.
    """

    def __init__(self, material: Material, sides: Sequence[int], folder: Path) -> None:
        self.material = material
        self._men = material.white + material.black
        self._kings = king_squares(material.has_pawns)
        self._positions = len(self._kings) * 64 ** (len(self._men) + 1)
        with _errors_in_words(material):
            self._files = {side: [_open(part, folder) for part in parts_of(material, side)] for side in sides}

    def __getitem__(self, index: int) -> int:
        """The value at an index as of a table that has all of them in one array, see `table.ByIndex`."""
        side, index = divmod(index, self._positions)
        if side not in self._files:
            return NOT_KEPT
        file, place = self._place(index) if self.material.has_pawns else (0, index)
        with _errors_in_words(self.material):
            value = self._files[side][file][place]
        return FROM_DISK + (value - 256 if value > IMPOSSIBLE else value)

    def _place(self, index: int) -> tuple[int, int]:
        """The part that a position is in, mirrored if need be, and its place there."""
        squares: list[int] = []
        for _ in range(len(self._men) + 1):
            index, square = divmod(index, 64)
            squares.insert(0, square)
        pawn = squares[self._men.index("P")]
        mirror = 7 if pawn % 8 > 3 else 0
        place = self._kings[index] ^ mirror
        for letter, square in zip(self._men, squares, strict=False):
            place = place * 6 + _rank_of_pawn(square) if letter == "P" else place * 64 + (square ^ mirror)
        return (pawn ^ mirror) % 8, place * 64 + (squares[-1] ^ mirror)

    @property
    def figures(self) -> list[list[dict[str, Any]]]:
        """What `write_part` was given as figures, for each part."""
        files = next(iter(self._files.values()))
        return [file.head["figures"] for file in files]

    def reader(self, codes: Sequence[int], exchanged: bool) -> Reader:
        """How to read single positions, see `table.Table.reader`."""
        return reader_of(self.material, self, codes, exchanged)

    def look_up(self, side: int, kings: NDArray[np.intp], wanted: Sequence[slice]) -> Values:
        """Values of a table without pawns, with a side to move that it has, see `smaller.LookUp`."""
        if side not in self._files or self.material.has_pawns:
            raise ValueError(f"{self.material.name} is not kept so that it can be looked up")
        found = np.empty((len(kings), *lengths(wanted), 64), dtype=np.int8)
        turns = [king_rows(has_pawns=False)[king] for king in kings]
        for row in sorted({row for row, _ in turns}):
            planes: dict[int, Values] = {}
            read = set[tuple[int, int]]()
            for index, (_, turn) in (each for each in enumerate(turns) if each[1][0] == row):
                squares = np.array(turned(turn))
                ranks = sorted(set(squares[wanted[1]] // 8))
                inner = np.ix_(*(squares[each] for each in wanted[1:]), squares)
                for place, first in enumerate(squares[wanted[0]]):
                    plane = planes.setdefault(first, np.empty([64] * len(self._men), dtype=np.int8))
                    for rank in ranks:
                        if (first, rank) not in read:
                            plane[8 * rank : 8 * rank + 8] = self._rank(side, row, first, rank)
                            read.add((first, rank))
                    found[index, place] = plane[inner]
        return found

    def _rank(self, side: int, row: int, first: int, rank: int) -> Values:
        """The values with the white king and the first man fixed, and the second on a rank; IMPOSSIBLE where
        there is no position. With five men it is just a block."""
        shape = (8, *[64] * (len(self._men) - 1))
        size = prod(shape)
        with _errors_in_words(self.material):
            content = self._files[side][0].read(((row * 64 + first) * 8 + rank) * size, size)
        legal = unpacked(self._legal[side][row, first, 8 * rank : 8 * rank + 8])
        return np.where(legal, np.frombuffer(content, dtype=np.int8), np.int8(IMPOSSIBLE)).reshape(shape)

    @cached_property
    def _legal(self) -> tuple[Words, Words]:
        return Rules(Space(self.material)).legal


def kept_sides(material: Material, folder: Path) -> tuple[int, ...]:
    """The sides to move with which a folder has all parts of a table."""
    sides = (WHITE, BLACK)
    return tuple(s for s in sides if all(part.path(folder).exists() for part in parts_of(material, s)))


def open_large(material: Material, folder: Path | None, side: int | None = None) -> LargeTable:
    """The table of an ending with five men (canonical), with this side to move at least, or with any.

    Raises UnknownEndingError if it is not built, or its files are damaged.
    """
    sides = kept_sides(material, folder) if folder is not None else ()
    if folder is None or not sides or side not in (None, *sides):
        raise _not_built(material)
    return LargeTable(material, sides, folder)


def _not_built(material: Material) -> UnknownEndingError:
    return UnknownEndingError(f"{material.name} is not solved yet.", _build(material))


@contextmanager
def _errors_in_words(material: Material) -> Iterator[None]:
    try:
        yield
    except OSError as error:
        raise _not_built(material) from error
    except DamagedFileError as error:
        raise UnknownEndingError(
            f"The table of {material.name} is damaged: {error}.", _build(material)
        ) from error


def _build(material: Material) -> Advice:
    return Advice(Step.BUILD_THE_ENDING, {"ending": material.name})


def _rank_of_pawn(square: int) -> int:
    """A pawn's index among the ranks on which it can stay; one that has just made its double step stands
    on the fourth from its side."""
    rank = {0: 3, 7: 4}.get(square // 8, square // 8)
    return rank - _STAYS.start

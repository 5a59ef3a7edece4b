"""Building the table of an ending with five men, with all that it leads to: part by part, each kept as soon
as it is solved, so that a build that was stopped goes on where it was."""

from collections.abc import Callable, Sequence
from dataclasses import asdict, dataclass
from itertools import chain, groupby
from pathlib import Path

from coachbook.endgame.census import Census, census_of, distinct_cells, joined
from coachbook.endgame.large_table import (
    MOST_MEN_ON_DISK,
    Part,
    check_can_be_large,
    is_sound,
    kept_sides,
    open_large,
    parts_of,
    write_part,
)
from coachbook.endgame.material import Material, UnknownEndingError
from coachbook.endgame.retrograde import Rules, solve
from coachbook.endgame.smaller import PROMOTIONS, promote
from coachbook.endgame.space import BLACK, WHITE, Space
from coachbook.endgame.tables import Tables, all_materials, build, with_smaller

Progress = Callable[[int, int, str], None]
"""Told how much is done, of how much, and what is being done."""

_SECONDS = 20
"""That the parts of one space take, roughly."""
_MEBIBYTES = {False: 40, True: 20}
"""On disk, that one part takes at most, roughly: without a pawn, and with one."""
MEBIBYTES_OF_MEMORY = 1600
"""That a build takes, roughly."""
_STEPS = 100
"""Of progress, that a space counts for: more than most have distances of mates."""


def parts_needed(material: Material) -> tuple[Part, ...]:
    """All parts that the table of a canonical material with five men needs, each after those it leads to,
    and those of one space together.

    Raises UnknownEndingError for an ending that would take too much.
    """
    check_can_be_large(material)
    pawn_side = WHITE if "P" in material.white else BLACK
    letters = PROMOTIONS if material.has_pawns else ""
    promoted = (promote(material, pawn_side, letter) for letter in letters)
    leading_to = [part for each in promoted for part in parts_of(each, 1 - pawn_side)]
    sides = (WHITE, BLACK) if material.has_pawns else (BLACK,)
    own = zip(*(parts_of(material, side) for side in sides), strict=True)
    return (*leading_to, *chain.from_iterable(own))


def parts_missing(material: Material, folder: Path) -> tuple[Part, ...]:
    """Those of the parts that are not there yet, or damaged. Raises UnknownEndingError as above."""
    return tuple(part for part in parts_needed(material) if not is_sound(part, folder))


def cost_of(parts: Sequence[Part]) -> tuple[int, int]:
    """What it takes to build these parts, roughly: seconds, and mebibytes on disk."""
    return _SECONDS * len(spaces_of(parts)), sum(_MEBIBYTES[part.material.has_pawns] for part in parts)


def spaces_of(parts: Sequence[Part]) -> list[list[Part]]:
    """The parts that are solved together."""
    return [list(group) for _, group in groupby(parts, key=lambda part: part.space_name)]


def build_large(material: Material, folder: Path, progress: Progress) -> None:
    """Solve and keep all parts that are missing.

    Raises UnknownEndingError for an ending that would take too much, and CoachbookError if the folder can't
    be written.
    """
    missing, tables = spaces_of(parts_missing(material, folder)), Tables(folder, material.men - 1)
    smaller = [each for each in with_smaller([material]) if each.men < material.men]
    of = len(smaller) + _STEPS * len(missing)
    build(smaller, tables, lambda done, _, name: progress(done, of, name))
    for number, parts in enumerate(missing):
        name, done = parts[0].space_name, len(smaller) + _STEPS * number
        _build_parts(parts, folder, tables, _Counting(progress, done, of, name))
    progress(of, of, "")


@dataclass
class _Counting:
    """Tells the progress within a space, of which nobody knows beforehand how many steps it takes."""

    progress: Progress
    done: int
    of: int
    name: str
    steps: int = 0

    def __call__(self, _winner: int, moves: int) -> None:
        within = self.done + min(self.steps, _STEPS - 1)
        self.progress(within, self.of, f"{self.name}, mates in {moves}")
        self.steps += 1


def _build_parts(
    parts: Sequence[Part], folder: Path, tables: Tables, tell: Callable[[int, int], None]
) -> None:
    material, space = parts[0].material, Space(parts[0].material, parts[0].file)
    try:
        values = solve(space, tables.look_up, tell)
    except OverflowError as error:
        raise UnknownEndingError(
            f"{material.name} has {error}; it cannot be kept.", "Choose another ending."
        ) from error
    legal, distinct = Rules(space).legal, distinct_cells(space)
    figures = [asdict(census_of(space, side, values[side], legal[side], distinct)) for side in (WHITE, BLACK)]
    for part in parts:
        write_part(part, folder, values[part.side], legal[part.side], figures)


def solved_large(folder: Path) -> tuple[Material, ...]:
    """The endings that a folder has a whole table of, with one side to move at least."""
    return tuple(each for each in all_materials(MOST_MEN_ON_DISK) if kept_sides(each, folder))


def figures_of(material: Material, folder: Path) -> tuple[Census, Census]:
    """The figures of a solved ending with five men, with White and with Black to move.

    Raises UnknownEndingError if it is not solved, or its files are damaged.
    """
    parts = open_large(material, folder).figures
    white, black = (joined([Census(**figures[side]) for figures in parts]) for side in (WHITE, BLACK))
    return white, black

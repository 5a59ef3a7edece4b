"""Reads a folder of level files: a syllabus, or every mistake in them."""

import re
import tomllib
from pathlib import Path
from typing import Any

from coachbook.errors import CoachbookError
from coachbook.files.reading import MEGABYTE, read_file
from coachbook.model.problem import Problem
from coachbook.model.syllabus import Level, Syllabus
from coachbook.syllabus import level_file
from coachbook.syllabus.unit_rules import KnownNames, PlacedUnit, between_units, within_unit

_TOML_PLACE = re.compile(r"(?P<what>.*) \(at (?P<place>line \d+|end of document).*\)", re.DOTALL)


def read_syllabus(
    folder: Path,
    known_kinds: frozenset[str] | None = None,
    known_methods: frozenset[str] | None = None,
) -> Syllabus:
    """The syllabus in `folder`, checked as `check_syllabus` does.

    Raises CoachbookError with the first mistake and how many more there are.
    """
    syllabus, problems = check_syllabus(folder, known_kinds, known_methods)
    if syllabus is None:
        more = f" (and {len(problems) - 1} more)" if len(problems) > 1 else ""
        raise CoachbookError(f"The syllabus has a mistake: {problems[0]}{more}.", f"Mend it in {folder}.")
    return syllabus


def check_syllabus(
    folder: Path,
    known_kinds: frozenset[str] | None = None,
    known_methods: frozenset[str] | None = None,
) -> tuple[Syllabus | None, tuple[Problem, ...]]:
    """The syllabus in `folder` (one `*.toml` file a level), and every mistake in it.

    There is a syllabus only if there is no mistake. Kinds and methods are checked against
    the names given; None accepts any name. A problem's `where` is a key, such as
    `unit[2].minutes` (counted from 1), or a line if the file is no valid TOML at all.
    """
    try:
        files = sorted(path for path in folder.glob("*.toml") if not path.name.startswith("."))
    except OSError as error:
        return None, (Problem(str(folder), "folder", f"cannot be read ({error.strerror})"),)
    if not files:
        return None, (Problem(str(folder), "folder", "there is no level file (*.toml) in it"),)
    known = KnownNames(known_kinds, known_methods)
    problems: list[Problem] = []
    tables = {path.name: table for path in files if (table := _toml_of(path, problems)) is not None}
    levels: list[Level | None] = []
    placed: list[PlacedUnit] = []
    numbers: dict[int, str] = {}
    for file, table in tables.items():
        level, units = _take_level(file, table, known, problems)
        levels.append(level)
        placed += units
        number = table.get("level")
        if number and (earlier := numbers.setdefault(number, file)) != file:
            problems.append(Problem(file, "level", f"level {number} is already in {earlier}"))
    if len(tables) == len(files):
        # With a file missing, all that builds on its units would look wrong.
        problems += between_units(tuple(placed))
    if problems:
        return None, tuple(problems)
    return Syllabus(tuple(sorted(filter(None, levels), key=lambda level: level.number))), ()


def unit_codes(folder: Path) -> tuple[str, ...]:
    """The codes of the units in `folder`, file by file, as far as they can be read: nothing is checked."""
    files = sorted(path for path in folder.glob("*.toml") if not path.name.startswith("."))
    tables = (_toml_of(path, []) or {} for path in files)
    units = [table.get("unit") for table in tables]
    listed = [unit for each in units if isinstance(each, list) for unit in each if isinstance(unit, dict)]
    return tuple(code for unit in listed if isinstance(code := unit.get("code"), str))


def _take_level(
    file: str, table: dict[str, Any], known: KnownNames, problems: list[Problem]
) -> tuple[Level | None, list[PlacedUnit]]:
    """The level, if each value in it is right; and its units as far as they are, mistakes noted."""
    level, wrong = level_file.take_level(table)
    problems += [Problem(file, _in_words(path), message) for path, message in wrong.items()]
    number = table.get("level") or 0
    placed = [
        PlacedUnit(unit, number, file, f"unit[{place}]")
        for place, unit in enumerate(table.get("unit") or (), start=1)
        if unit is not None
    ]
    for each in placed:
        problems += within_unit(each, known)
    return level, placed


def _in_words(path: level_file.Way) -> str:
    """A path such as `unit[2].minutes`: places in lists count from 1, as a coach counts."""
    steps = (f"[{step + 1}]" if isinstance(step, int) else f".{step}" for step in path)
    return "".join(steps).removeprefix(".")


def _toml_of(path: Path, problems: list[Problem]) -> dict[str, Any] | None:
    """The whole file as one table; None, noted, if it cannot be read or is no valid TOML."""
    try:
        # Some text editors put a byte order mark in front, which TOML does not know.
        table = tomllib.loads(read_file(path, MEGABYTE).decode().removeprefix("\ufeff"))
    except OSError as error:
        problems.append(Problem(path.name, "file", f"cannot be read ({error.strerror})"))
    except UnicodeDecodeError as error:
        problems.append(Problem.undecodable(path.name, error))
    except (ValueError, RecursionError) as error:
        problems.append(_broken_toml(path.name, str(error)))
    else:
        return {key: level_file.tidy(value) for key, value in table.items()}
    return None


def _broken_toml(file: str, message: str) -> Problem:
    # Python 3.11 tells the place of a TOML mistake only inside its message.
    match = _TOML_PLACE.fullmatch(message)
    what, place = (match["what"], match["place"]) if match else (message, "file")
    return Problem(file, place, f"is not valid TOML: {what[:1].lower()}{what[1:]}")

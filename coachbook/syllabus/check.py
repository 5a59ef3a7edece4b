"""Reads a folder of level files and collects every mistake in them."""

import re
import tomllib
from pathlib import Path

from coachbook.files.reading import MEGABYTE, read_file
from coachbook.model.reading import Problem
from coachbook.model.syllabus import Level, Syllabus
from coachbook.syllabus.fields import Fields
from coachbook.syllabus.prerequisites import PlacedUnit, between_units
from coachbook.syllabus.units import KnownNames, take_unit

_TOML_PLACE = re.compile(r"(?P<what>.*) \(at (?P<place>line \d+|end of document).*\)", re.DOTALL)


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
    tables = [fields for path in files if (fields := _read_fields(path, problems)) is not None]
    levels: dict[int, tuple[str, Level]] = {}
    placed: list[PlacedUnit] = []
    for fields in tables:
        level, units = _take_level(fields, known)
        placed += units
        earlier, _ = levels.setdefault(level.number, (fields.file, level))
        if level.number and earlier != fields.file:
            fields.note("level", f"level {level.number} is already in {earlier}")
    if len(tables) == len(files):
        # With a file missing, all that builds on its units would look wrong.
        problems += between_units(tuple(placed))
    if problems:
        return None, tuple(problems)
    return Syllabus(tuple(level for _, (_, level) in sorted(levels.items()))), ()


def _take_level(fields: Fields, known: KnownNames) -> tuple[Level, list[PlacedUnit]]:
    number = fields.take_int("level", 1, 99)
    title = fields.take_text("title")
    placed = [
        PlacedUnit(take_unit(each, number, known), each.file, each.where)
        for each in fields.take_tables("unit", at_least=1)
    ]
    fields.close()
    return Level(number, title, tuple(each.unit for each in placed)), placed


def _read_fields(path: Path, problems: list[Problem]) -> Fields | None:
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
        return Fields(table, path.name, "", problems)
    return None


def _broken_toml(file: str, message: str) -> Problem:
    # Python 3.11 tells the place of a TOML mistake only inside its message.
    match = _TOML_PLACE.fullmatch(message)
    what, place = (match["what"], match["place"]) if match else (message, "file")
    return Problem(file, place, f"is not valid TOML: {what[:1].lower()}{what[1:]}")

"""The syllabus that comes with coachbook, and its units by what their tests need.

Everyday tests need no ending of five men: what goes over all units and asks the tables goes over those of up
to four men, and over the others in the long run only, which builds their ending.
"""

from collections.abc import Iterable
from pathlib import Path

import pytest
from _pytest.mark import ParameterSet

from coachbook.endgame.tables import MOST_MEN, Readers, Tables, shared_tables
from coachbook.model.syllabus import Syllabus, Unit
from coachbook.syllabus import read_syllabus

CURRICULA = Path(__file__).parents[1] / "curricula"
SHIPPED: Syllabus = read_syllabus(CURRICULA)

WITH_FIVE_MEN = (pytest.mark.long, pytest.mark.with_five_men)
"""The marks of a test that needs an ending of five men."""


def is_large(unit: Unit) -> bool:
    """Whether a unit is about an ending of five men."""
    return any(len(ending) > MOST_MEN for ending in unit.endings)


UNITS = tuple(unit for unit in SHIPPED.units if not is_large(unit))
LARGE_UNITS = tuple(unit for unit in SHIPPED.units if is_large(unit))


def marked(units: Iterable[Unit] = SHIPPED.units, *marks: pytest.MarkDecorator) -> list[ParameterSet]:
    """The units as parameters of a test that asks the tables; those of up to four men with these marks."""
    return [
        pytest.param(unit, marks=WITH_FIVE_MEN if is_large(unit) else marks, id=unit.code) for unit in units
    ]


each_unit = pytest.mark.parametrize("unit", marked())
"""A test that asks the tables, for each unit."""


def without_five_men(patch: pytest.MonkeyPatch, folder: Path, most_men: int = MOST_MEN) -> Tables:
    """The tables that everything uses, as if this folder had all that there is of more men."""
    tables = shared_tables()
    patch.setattr(tables, "most_men", most_men)
    patch.setattr(tables, "folder", folder)
    patch.setattr(tables, "_large", {})
    patch.setattr(tables, "_known", {each: t for each, t in tables._known.items() if each.men <= most_men})
    patch.setattr(tables, "readers", Readers(tables))
    return tables

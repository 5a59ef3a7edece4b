"""Where all students stand in all units."""

from collections.abc import Iterable, Mapping
from datetime import date

from coachbook.model.club import ItemResult
from coachbook.model.progress import UnitProgress
from coachbook.model.syllabus import Syllabus
from coachbook.progress.evenings import evenings_by_unit
from coachbook.progress.review import TARGET
from coachbook.progress.standing import standing


def overview(
    syllabus: Syllabus,
    results_by_student: Mapping[str, Iterable[ItemResult]],
    today: date,
    target: float = TARGET,
) -> tuple[UnitProgress, ...]:
    """Every student by name, each with every unit of the syllabus in order.

    Answers in units that the syllabus no longer has are not looked at.
    """
    found = []
    for student, results in sorted(results_by_student.items()):
        evenings = evenings_by_unit(results)
        found += [
            standing(student, unit, evenings.get(unit.code, ()), today, target) for unit in syllabus.units
        ]
    return tuple(found)

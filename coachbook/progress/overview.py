"""Where all students stand in all units."""

from collections.abc import Iterable, Mapping
from datetime import date

from coachbook.model.progress import Evening, UnitProgress
from coachbook.model.syllabus import Syllabus
from coachbook.progress.review import TARGET
from coachbook.progress.standing import standing


def overview(
    syllabus: Syllabus,
    evenings_by_student: Mapping[str, Mapping[str, Iterable[Evening]]],
    today: date,
    target: float = TARGET,
) -> tuple[UnitProgress, ...]:
    """Every student by name, each with every unit of the syllabus in order.

    Each student's evenings come by unit code; those in units that the syllabus no longer has
    are not looked at.
    """
    return tuple(
        standing(student, unit, evenings.get(unit.code, ()), today, target)
        for student, evenings in sorted(evenings_by_student.items())
        for unit in syllabus.units
    )

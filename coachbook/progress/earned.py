"""When a student earned a unit, and a level: what was secure once stays earned, with its day."""

from collections.abc import Iterable, Mapping
from datetime import date

from coachbook.model.progress import EarnedLevel, EarnedUnit, Evening
from coachbook.model.syllabus import Level, SecureRule
from coachbook.progress.standing import standing, what_is_missing


def earned_on(rule: SecureRule, evenings: Iterable[Evening]) -> date | None:
    """The first day on which the rule was met; None if it never was."""
    seen = sorted(evenings, key=lambda each: each.on)
    for number, evening in enumerate(seen, start=1):
        if not what_is_missing(rule, seen[:number]):
            return evening.on
    return None


def earned_level(
    student: str, level: Level, evenings: Mapping[str, Iterable[Evening]], today: date
) -> EarnedLevel:
    """What a student has earned of a level by `today`, from the evenings by unit code; later evenings are not
    looked at."""
    units = []
    for unit in level.units:
        progress = standing(student, unit, evenings.get(unit.code, ()), today)
        on = earned_on(unit.secure, progress.evenings)
        units.append(EarnedUnit(unit.code, unit.title, on, progress.missing, progress.is_due(today)))
    return EarnedLevel(student, level.number, tuple(units))

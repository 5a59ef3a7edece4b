"""How a student's standing went over the weeks."""

from collections.abc import Iterable, Sequence
from datetime import date

from coachbook.model.progress import Evening
from coachbook.model.syllabus import Unit
from coachbook.progress.review import TARGET, recall_on, remember, says_something, went_badly
from coachbook.progress.standing import what_is_missing


def secure_on(
    unit: Unit, evenings: Iterable[Evening], days: Sequence[date], target: float = TARGET
) -> tuple[bool, ...]:
    """Whether a student was secure in the unit on each of the days, by what had happened by then:
    the same as `standing` says, without the rest of it."""
    seen = tuple(sorted(evenings, key=lambda each: each.on))
    return tuple(
        _is_secure(unit, tuple(each for each in seen if each.on <= day), day, target) for day in days
    )


def _is_secure(unit: Unit, seen: tuple[Evening, ...], day: date, target: float) -> bool:
    if what_is_missing(unit.secure, seen):
        return False
    telling = tuple(filter(says_something, seen))
    memory = remember(telling)
    return memory is not None and not went_badly(telling[-1]) and recall_on(memory, day) >= target

"""Why a student stands in a unit as they do, and why it is due when it is: by the values that decide it."""

from datetime import date
from itertools import takewhile

from coachbook.model.progress import UnitProgress, Went, WhyDue
from coachbook.model.syllabus import Unit
from coachbook.progress.review import TARGET, how_it_went, says_something, what_decided


def why_due(unit: Unit, progress: UnitProgress, today: date, target: float = TARGET) -> WhyDue:
    """What led to a student's standing in a unit on `today`, and to the day on which it is due."""
    telling = tuple(filter(says_something, progress.evenings))
    in_a_row = takewhile(lambda evening: how_it_went(evening) >= Went.WELL, reversed(telling))
    return WhyDue(
        progress=progress,
        title=unit.title,
        today=today,
        rule=unit.secure,
        last_on=telling[-1].on if telling else None,
        decided_by=what_decided(telling[-1])[1] if telling else None,
        well_in_a_row=sum(1 for _ in in_a_row),
        target=target,
    )

"""A plan as rows of a table (CSV)."""

import csv
from collections.abc import Mapping, Sequence
from io import StringIO

from coachbook.model.term import TermPlan, clock

COLUMNS = ("group", "date", "starts", "minutes", "for", "unit", "title", "with coach", "why")


def csv_text(plans: Sequence[tuple[str, TermPlan]], titles: Mapping[str, str]) -> str:
    """One row for each slot of the plans of groups (RFC 4180). `starts` is the time of day, or else the
    minutes since the start of the evening."""
    told = StringIO()
    rows = csv.writer(told)
    rows.writerow(COLUMNS)
    for group, plan in plans:
        for session in plan.sessions:
            for start, slot in zip(session.starts, session.slots, strict=True):
                starts = clock(plan.at, start) if plan.at else start
                title = titles.get(slot.unit, slot.unit)
                coach = "yes" if slot.with_coach else "no"
                rows.writerow(
                    (group, session.on, starts, slot.minutes, slot.kind, slot.unit, title, coach, slot.why)
                )
    return told.getvalue()

"""The wall plan of groups that share a room: every evening minute by minute, side by side."""

from collections.abc import Mapping
from datetime import date
from pathlib import Path

from coachbook.model.term import PlannedSession, Slot, SlotKind, TermPlan, clock
from coachbook.paper.flow import Block, paragraph, space, stack
from coachbook.paper.options import PaperOptions
from coachbook.paper.page import BODY, MM, frame_of, short_day
from coachbook.paper.term import (
    COLUMN_GAP,
    DATE_WIDTH,
    WallHeading,
    about,
    evening_of,
    left_over,
    span_of,
    table_row,
    with_days_off,
    write_wall,
)

_TEXT = 10.0
_TIME_WIDTH = 11 * MM


def write_room(
    plans: Mapping[str, TermPlan],
    unit_titles: Mapping[str, str],
    club: str,
    path: Path,
    options: PaperOptions,
) -> None:
    """Print the plans of groups (at least one) beside each other; bold is what needs the coach.

    Raises CoachbookError if the file cannot be written.
    """
    frame = frame_of(options.size)
    column = (frame.width - DATE_WIDTH - len(plans) * COLUMN_GAP) / len(plans)
    widths = (DATE_WIDTH, *(column for _ in plans))
    head = table_row(
        [
            paragraph("Date", DATE_WIDTH, BODY),
            *(paragraph(group, column, BODY, bold=True) for group in plans),
        ],
        widths,
        1.2,
    )
    dates = _dates(plans)
    evenings = [(on, table_row(_cells(on, plans, unit_titles, column), widths, 0.5)) for on in dates]
    off = sorted({day for plan in plans.values() for day in plan.days_off}.difference(dates))
    rows = with_days_off(evenings, off, frame.width)
    rows.append(stack([space(6), paragraph("In bold: with the coach.", frame.width, BODY)]))
    for group, plan in plans.items():
        rows += left_over(plan, unit_titles, frame.width, group)
    title = f"Term plan: {', '.join(plans)}"
    evenings_told = {evening_of(plan) for plan in plans.values()}
    aside = evenings_told.pop() if len(evenings_told) == 1 else ""
    write_wall(path, options, head, rows, WallHeading(club, span_of(*plans.values()), title, aside, ""))


def _dates(plans: Mapping[str, TermPlan]) -> list[date]:
    return sorted({session.on for plan in plans.values() for session in plan.sessions})


def _cells(on: date, plans: Mapping[str, TermPlan], titles: Mapping[str, str], column: float) -> list[Block]:
    cells = [paragraph(short_day(on), DATE_WIDTH, _TEXT, bold=True)]
    for plan in plans.values():
        session = next((session for session in plan.sessions if session.on == on), None)
        cells.append(stack(_slots(session, plan.at, titles, column) if session else []))
    return cells


def _slots(session: PlannedSession, at: str, titles: Mapping[str, str], column: float) -> list[Block]:
    """One paragraph for each slot but the minutes to spare, its time hanging before it."""
    return [
        paragraph(
            _in_words(slot, titles),
            column,
            _TEXT,
            bold=slot.with_coach,
            label=_time(at, start),
            indent=_TIME_WIDTH,
        )
        for start, slot in zip(session.starts, session.slots, strict=True)
        if slot.kind is not SlotKind.BUFFER
    ]


def _in_words(slot: Slot, titles: Mapping[str, str]) -> str:
    """Such as "New: The queen's box" or "Review"."""
    what = slot.kind.value.capitalize()
    if slot.kind in (SlotKind.REVIEW, SlotKind.ASSESSMENT):
        return what
    return f"{what}: {about(slot, titles) if slot.unit else 'mixed'}"


def _time(at: str, minutes: int) -> str:
    """The time of day, or the minutes since the start."""
    return clock(at, minutes) if at else f"{minutes}\N{PRIME}"

"""The term as a wall: evenings by groups; who reviews what in it; and the plan on paper and in a calendar."""

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from datetime import UTC, date

from starlette.responses import Response

from coachbook.desk.asked import Asked, Page, downloaded
from coachbook.desk.shown import shown
from coachbook.model.problem import read_date
from coachbook.model.term_plan import Slot, SlotKind, TermPlan
from coachbook.wording.plans import Titles
from coachbook.wording.term_lines import (
    all_freed_in_words,
    days_in_words,
    fitting_in_words,
    said_once,
    slot_in_company,
    term_in_words,
    time_of_slot,
    who_finds_no_room,
    who_reviews_what,
)
from coachbook.workflows.planning import PlannedTerm
from coachbook.workflows.term_files import calendar_of_terms, wall_plan
from coachbook.workflows.term_view import TermWall, WallCell, term_wall, terms_on_wall


@dataclass(frozen=True, slots=True)
class CellShown:
    """A group's evening on the wall: its slots in words, each with its time and whether the coach is with the
    group."""

    cell: WallCell
    slots: tuple[tuple[str, str, bool], ...]


def wall(asked: Asked) -> Response:
    """All evenings of a term: the one of today, or else the next, unless a day is named."""
    on, titles = _day(asked), asked.syllabus.titles
    found = term_wall(asked.book(), on)
    if found is None:
        return shown(asked, "no_term.html")
    return shown(
        asked,
        "term.html",
        wall=found,
        on=on,
        terms=[(each, days_in_words(each)) for each in found.terms],
        rows=[(day, _cells(found, day, titles)) for day in sorted((*found.evenings, *found.off))],
        about=_each_once(found, term_in_words),
        fitting=_fitting(found, titles),
    )


def reviews(asked: Asked) -> Response:
    """Who reviews what, who catches up on what, and what finds no room, as things stand today."""
    on, titles = _day(asked), asked.syllabus.titles
    terms = terms_on_wall(asked.book(), asked.syllabus, on, asked.today)
    return shown(asked, "term_reviews.html", on=on, terms=[_reviews(each, titles) for each in terms])


def on_paper(asked: Asked) -> Response:
    """The wall plan, to look at and print."""
    content = wall_plan(asked.book(), asked.syllabus, _group(asked), _day(asked))
    return downloaded(content, "term-plan.pdf", "application/pdf", shown=True)


def calendar(asked: Asked) -> Response:
    """The evenings of all terms, for a calendar."""
    now = asked.desk.now().astimezone(UTC)
    return downloaded(
        calendar_of_terms(asked.book(), asked.syllabus, _group(asked), now), "term.ics", "text/calendar"
    )


def cell_shown(cell: WallCell, titles: Titles) -> CellShown:
    """A group's evening as the wall plan words it: all but the minutes to spare."""
    return CellShown(
        cell,
        tuple(
            (
                time_of_slot(cell.at, start),
                slot_in_company(slot, others, titles) + pin_in_words(cell, slot),
                slot.with_coach,
            )
            for start, slot, others in cell.slots
            if slot.kind is not SlotKind.BUFFER
        ),
    )


def pin_in_words(cell: WallCell, slot: Slot) -> str:
    """What is said after a slot if a unit is pinned to it."""
    return " (pinned)" if cell.is_pinned(slot) else ""


def _cells(found: TermWall, day: date, titles: Titles) -> list[CellShown | None]:
    """The cells of a day; none at all for a day without club."""
    if day not in found.evenings:
        return []
    cells = (column.cells.get(day) for column in found.columns)
    return [None if cell is None else cell_shown(cell, titles) for cell in cells]


def _each_once(found: TermWall, lines: Callable[[TermPlan], Iterable[str]]) -> list[str]:
    """What is said of the plans: each line once, with the groups that it is about."""
    told = (
        (column.group.name, line) for column in found.columns for plan in column.plans for line in lines(plan)
    )
    return [f"{groups}: {line}" for groups, line in said_once(told)]


def _fitting(found: TermWall, titles: Titles) -> list[str]:
    """What fits into the terms, what does not, and what is freed."""
    freed = all_freed_in_words(
        (column.group.name, [cell.session for cell in column.cells.values()], column.together)
        for column in found.columns
    )
    return [*_each_once(found, lambda plan: fitting_in_words(plan, titles)), *freed]


def _reviews(term: PlannedTerm, titles: Titles) -> dict[str, object]:
    return {
        "group": term.group,
        "planned": who_reviews_what(term.reviews.planned, titles, term.students),
        "catch_ups": who_reviews_what(term.catch_ups, titles, term.students),
        "unfit": who_finds_no_room(term.reviews.unfit, titles, term.students),
    }


def _day(asked: Asked) -> date:
    """The day that the address asks for; today, if it asks for none."""
    named = asked.query.get("on", "")
    return read_date(named) if named else asked.today


def _group(asked: Asked) -> list[int]:
    """The group that stands in the address; none for all of them."""
    return [asked.number("group")] if "group" in asked.values else []


PAGES = (
    Page("/term", wall),
    Page("/term/reviews", reviews),
    Page("/term/wall", on_paper),
    Page("/term/wall/{group:int}", on_paper),
    Page("/term/calendar", calendar),
    Page("/term/calendar/{group:int}", calendar),
)

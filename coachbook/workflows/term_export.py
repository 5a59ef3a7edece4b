"""A plan for a calendar, a spreadsheet or the wall."""

import csv
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime
from io import StringIO
from pathlib import Path

from coachbook.club.book import Book
from coachbook.club.terms import terms_of
from coachbook.model.syllabus import Syllabus
from coachbook.model.term import TermPlan
from coachbook.paper.options import PaperOptions
from coachbook.paper.page import check_places, put_in_place
from coachbook.paper.term import NO_CLUB
from coachbook.term.ics import calendar_text
from coachbook.term.listing import COLUMNS, csv_text
from coachbook.workflows.cells import table_text
from coachbook.workflows.groups import named_groups, term_at
from coachbook.workflows.planning import print_terms


@dataclass(frozen=True, slots=True)
class TermFiles:
    """Where to write plans, in each form that is asked for."""

    ics: Path | None = None
    csv: Path | None = None
    pdf: Path | None = None


def export_terms(
    book: Book,
    syllabus: Syllabus,
    groups: Sequence[str],
    files: TermFiles,
    on: date,
    now: datetime,
    options: PaperOptions,
) -> tuple[Path, ...]:
    """Write the plans of groups (of the only one, if none is named) into files, and say into which.

    The calendar and the table have all their terms; for the wall is the term of the day `on`, or else the
    next one. `now` (aware) is the time that the calendar file tells. Raises CoachbookError.
    """
    with book.reading() as page:
        names = [group.name for group in named_groups(page, groups)]
        on_wall = {name: term_at(page, name, on).plan for name in names}
        plans = [(name, term.plan) for name in names for term in terms_of(page, name)]
    named = tuple(path for path in (files.ics, files.csv, files.pdf) if path is not None)
    check_places(named)
    titles = syllabus.titles
    contents: list[tuple[Path, bytes]] = []
    if files.ics is not None:
        contents.append((files.ics, calendar_text(plans, titles, book.club_name, now)))
    if files.csv is not None:
        contents.append((files.csv, table_of_terms(plans, titles).encode()))
    if files.pdf is not None:
        print_terms(book.club_name, syllabus, on_wall, files.pdf, options)
    for path, content in contents:
        put_in_place(path, content)
    return named


def table_of_terms(plans: Sequence[tuple[str, TermPlan]], titles: Mapping[str, str]) -> str:
    """The plans of groups as a table (RFC 4180): a row for each slot, and one for each day without club."""
    head, *rows = csv.reader(StringIO(csv_text(plans, titles)))
    empty = dict.fromkeys(COLUMNS, "")
    off = [
        [*(empty | {"group": group, "date": str(day), "for": NO_CLUB.lower()}).values()]
        for group, plan in plans
        for day in plan.days_off
    ]
    groups = [group for group, _ in plans]
    in_order = sorted(rows + off, key=lambda row: (groups.index(row[0]), row[1]))
    return table_text([head, *in_order], line_end="\r\n")

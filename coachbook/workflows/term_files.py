"""Days without a meeting out of files, and a plan for a calendar, a spreadsheet or the wall."""

import csv
from collections.abc import Callable, Mapping, Sequence
from datetime import date, datetime
from io import StringIO
from pathlib import Path

from coachbook.club.book import Book, Reading
from coachbook.club.groups import terms_of
from coachbook.club.students import group_numbered, list_groups
from coachbook.errors import Advice, CoachbookError, Step
from coachbook.files.reading import read_file
from coachbook.files.writing import check_places, put_in_place
from coachbook.model.print_options import PaperOptions
from coachbook.model.syllabus import Syllabus
from coachbook.model.term_plan import Closure, TermPlan
from coachbook.paper.wall_plan import NO_CLUB
from coachbook.term.calendar import COLUMNS, calendar_text, closures_in, csv_text, public_holidays
from coachbook.workflows.members import named_groups, term_at
from coachbook.workflows.planning import terms_pdf
from coachbook.workflows.spreadsheet import table_text

_FORMS = (".ics", ".csv", ".pdf")


def closures_from(
    files: Sequence[Path], places: Sequence[str], starts_on: date, ends_on: date
) -> tuple[Closure, ...]:
    """The days of calendar files, and the public holidays of places ("IE", "DE-BY"), in a term.

    Raises CoachbookError for a file that is no calendar or cannot be read, or an unknown place.
    """
    found: list[Closure] = []
    for path in files:
        try:
            content = read_file(path)
        except OSError as error:
            raise CoachbookError(f"{path} cannot be read: {error.strerror}.", "Check where it is.") from error
        found += closures_in(content, path.name, starts_on, ends_on)
    for place in places:
        found += public_holidays(place, starts_on, ends_on)
    return tuple(found)


def export_terms(
    book: Book,
    syllabus: Syllabus,
    groups: Sequence[str],
    files: Sequence[Path],
    on: date,
    now: datetime,
    options: PaperOptions,
) -> tuple[Path, ...]:
    """Write the plans of groups (of the only one, if none is named) into files, and say into which.

    A file's ending says its form. A calendar (.ics) and a table (.csv) have all their terms; for the wall
    (.pdf) is the term of the day `on`, or else the next one. `now` (aware) is the time that stands in the
    calendar file. Raises CoachbookError for an unknown group, a group without a plan, another ending, and a
    file that cannot be written.
    """
    check_places(files)
    forms = [_form_of(path) for path in files]
    with book.reading() as tx:
        names = [group.name for group in named_groups(tx, groups)]
        on_wall = {name: term_at(tx, name, on).plan for name in names}
        plans = [(name, term.plan) for name in names for term in terms_of(tx, name)]
    titles = syllabus.titles_in_plans
    writers: dict[str, Callable[[], bytes]] = {
        ".ics": lambda: calendar_text(plans, titles, book.club_name, now),
        ".csv": lambda: table_of_terms(plans, titles).encode(),
        ".pdf": lambda: terms_pdf(book.club_name, syllabus, on_wall, options),
    }
    contents = [(path, writers[form]()) for path, form in zip(files, forms, strict=True)]
    for path, content in contents:
        put_in_place(path, content)
    return tuple(files)


def wall_plan(book: Book, syllabus: Syllabus, groups: Sequence[int], on: date) -> bytes:
    """The plans of groups (by their ids; of all that have one, if none is named) for the wall, as a PDF: the
    term of a day, or else the next one. Raises CoachbookError for an unknown group, or if there is no
    plan."""
    with book.reading() as tx:
        plans = {name: term_at(tx, name, on).plan for name in _with_plans(tx, groups)}
    return terms_pdf(book.club_name, syllabus, plans, PaperOptions(book.settings.paper))


def calendar_of_terms(book: Book, syllabus: Syllabus, groups: Sequence[int], now: datetime) -> bytes:
    """All terms of groups (by their ids; of all, if none is named) as a calendar file; `now` is aware. Raises
    CoachbookError as `wall_plan`."""
    with book.reading() as tx:
        plans = [(name, term.plan) for name in _with_plans(tx, groups) for term in terms_of(tx, name)]
    return calendar_text(plans, syllabus.titles, book.club_name, now)


def _with_plans(tx: Reading, groups: Sequence[int]) -> list[str]:
    chosen = [group_numbered(tx, group) for group in groups] or list_groups(tx)
    found = [group.name for group in chosen if terms_of(tx, group.name)]
    if not found:
        raise CoachbookError("There is no term plan yet.", Advice(Step.PLAN_A_TERM))
    return found


def _form_of(path: Path) -> str:
    form = path.suffix.lower()
    if form not in _FORMS:
        raise CoachbookError(
            f"What is {path} to be?", "End its name in .ics (a calendar), .csv (a table) or .pdf (a page)."
        )
    return form


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

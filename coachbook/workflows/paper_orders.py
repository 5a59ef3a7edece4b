"""Papers that are ordered from a screen: for whom they are is told by numbers, and they go to the club's own
folder."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from pathlib import Path

from coachbook.club.book import Book
from coachbook.club.students import group_numbered, student_numbered
from coachbook.errors import CoachbookError
from coachbook.exercises.minutes import MOST
from coachbook.model.print_options import PaperOptions
from coachbook.model.syllabus import Syllabus
from coachbook.workflows.club_settings import folder_of_papers
from coachbook.workflows.members import group_with
from coachbook.workflows.own_positions import suiting_exercises
from coachbook.workflows.posters import make_poster
from coachbook.workflows.printed_sheets import (
    PrintedSheets,
    Progress,
    make_sheets,
    reprint_sheets,
    students_for,
)
from coachbook.workflows.review_papers import ReviewPapers, make_review
from coachbook.workflows.sheet_making import SheetRequest
from coachbook.workflows.standings import Reviews, reviews_due
from coachbook.workflows.unit_papers import make_cards, make_lesson

MOST_ITEMS = MOST
"""On one sheet."""


@dataclass(frozen=True, slots=True)
class ForWhom:
    """A group or a student by id, or nobody in particular."""

    group: int | None = None
    student: int | None = None


@dataclass(frozen=True, slots=True)
class SheetOrder:
    """A worksheet of a unit (by code): for whom, how many items, and whether in two forms, or another for
    each. `own` are the coach's own positions as they were pasted, "" for none, and `kind` what is asked of
    them."""

    unit: str
    whom: ForWhom
    items: int
    forms: bool = False
    each: bool = False
    own: str = ""
    kind: str = ""


def order_sheets(
    book: Book,
    syllabus: Syllabus,
    order: SheetOrder,
    seed: int,
    made_on: date,
    options: PaperOptions,
    progress: Progress,
) -> PrintedSheets:
    """Make, save and print what is ordered; see `make_sheets`. A sheet for nobody in particular reviews
    nothing. Raises CoachbookError for an unknown number or unit, and for what cannot be had."""
    unit, students = syllabus.unit(order.unit), names_for(book, order.whom)
    if not students and order.each:
        raise CoachbookError("Nobody is chosen who could have a sheet of their own.", "Choose a group.")
    request = SheetRequest(
        unit=unit,
        students=students,
        items=order.items,
        seed=seed,
        made_on=made_on,
        personal=order.each,
        forms=order.forms,
        review=None if students else 0,
        own=suiting_exercises(order.own, order.kind, unit.code) if order.own else (),
    )
    return make_sheets(book, syllabus, request, folder_of_papers(book), options, progress)


def order_again(book: Book, codes: Sequence[str], options: PaperOptions) -> PrintedSheets:
    """Print saved sheets again; see `reprint_sheets`."""
    return reprint_sheets(book, codes, folder_of_papers(book), options)


def order_lesson(
    book: Book, syllabus: Syllabus, unit: str, whom: ForWhom, on: date, options: PaperOptions
) -> Path:
    """The lesson plan of a unit, for a group or for nobody in particular; see `make_lesson`. Raises
    CoachbookError for an unknown number or unit."""
    group = _name_of_group(book, whom)
    return make_lesson(book, syllabus, syllabus.unit(unit), group, on, folder_of_papers(book), options)


def order_cards(
    book: Book, syllabus: Syllabus, unit: str, whom: ForWhom, options: PaperOptions, *, for_two: bool
) -> tuple[Path, int]:
    """The play-out cards of a unit, and how many they are; see `make_cards`. Raises CoachbookError for an
    unknown number or unit, and for a unit without a play-out."""
    students, folder = names_for(book, whom), folder_of_papers(book)
    return make_cards(book, syllabus, syllabus.unit(unit), students, folder, options, for_two=for_two)


def order_poster(book: Book, syllabus: Syllabus, method: str, options: PaperOptions) -> Path:
    """The poster of a method; see `make_poster`."""
    return make_poster(syllabus, method, folder_of_papers(book), options)


def order_review(
    book: Book, syllabus: Syllabus, whom: ForWhom, on: date, seed: int, options: PaperOptions
) -> tuple[Reviews, ReviewPapers | None]:
    """Who is due, of a group or of the whole club, and the papers for it; None if nobody is. Raises
    CoachbookError for an unknown number."""
    group = _name_of_group(book, whom)
    due = reviews_due(book, syllabus, group, on)
    if not due.advice:
        return due, None
    return due, make_review(book, syllabus, due.advice, on, seed, folder_of_papers(book), options)


def names_for(book: Book, whom: ForWhom) -> tuple[str, ...]:
    """The students of a group, or the one, by name; () for nobody in particular. Raises CoachbookError for an
    unknown number, and for a group that has nobody in it."""
    with book.reading() as tx:
        if whom.student is not None:
            return (student_numbered(tx, whom.student).name,)
        if whom.group is not None:
            return students_for(tx, group_numbered(tx, whom.group).name, None)
    return ()


def _name_of_group(book: Book, whom: ForWhom) -> str | None:
    return None if whom.group is None else group_with(book, whom.group).name

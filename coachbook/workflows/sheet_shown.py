"""A stored sheet item by item: to be read on a screen, and checked by a coach's own scripts."""

from dataclasses import dataclass

from coachbook.club.book import Book
from coachbook.club.sheets import latest_sheets, saved_sheet, sheets_of
from coachbook.club.students import student_numbered
from coachbook.model.facts import SavedSheet
from coachbook.model.worksheet import Exercise
from coachbook.paper.text import notated
from coachbook.wording.exercises import accepted_words
from coachbook.wording.reasons import reasons_of
from coachbook.workflows.exercise_shown import ShownExercise, exercise_shown
from coachbook.workflows.printed_sheets import sound_sheet


@dataclass(frozen=True, slots=True)
class ShownItem:
    """An item as it is stored: what is asked of which position, what is right, and why.

    `number` counts from 1 as printed, `unit` is the code of the unit that it is from. Of `answer` any one
    is right, or, with `all_needed`, all together; it is empty where nothing is to be written.
    """

    number: int
    unit: str
    kind: str
    fen: str
    task: str
    answer: tuple[str, ...]
    all_needed: bool
    difficulty: int
    reason: str


def shown_items(book: Book, code: str, letters: str) -> tuple[ShownItem, ...]:
    """The items of a saved sheet in printed order, their moves with these letters for the men (see
    `PaperOptions`). Raises CoachbookError for an unknown or a damaged sheet."""
    with book.reading() as tx:
        sheet = sound_sheet(tx, code)
    return tuple(_shown(number, item, letters) for number, item in enumerate(sheet.items, start=1))


def _shown(number: int, item: Exercise, letters: str) -> ShownItem:
    reason = " ".join((item.solution.text.words, *reasons_of(item)))
    return ShownItem(
        number=number,
        unit=item.unit,
        kind=item.kind,
        fen=item.position.fen,
        task=notated(item.task.words, letters),
        answer=tuple(notated(right, letters) for right in accepted_words(item.answer)),
        all_needed=item.answer.all_needed,
        difficulty=item.difficulty,
        reason=notated(reason, letters),
    )


@dataclass(frozen=True, slots=True)
class SheetView:
    """A saved sheet for a screen: its list entry and title; each item with the title of its unit, "" where
    that is the sheet's own; and the example on it, None where it has none."""

    saved: SavedSheet
    title: str
    items: tuple[tuple[str, ShownExercise], ...]
    example: ShownExercise | None


def sheet_view(book: Book, code: str, letters: str) -> SheetView:
    """A saved sheet with all its items, their moves with these letters for the men. Raises CoachbookError for
    an unknown or a damaged sheet."""
    with book.reading() as tx:
        sheet, saved = sound_sheet(tx, code), saved_sheet(tx, code)
    return SheetView(
        saved=saved,
        title=sheet.unit_title,
        items=tuple(
            ("" if item.unit == sheet.unit else sheet.title_of(item.unit), exercise_shown(item, letters))
            for item in sheet.items
        ),
        example=exercise_shown(sheet.example, letters) if sheet.example else None,
    )


def sheets_listed(book: Book, student: int | None, most: int) -> tuple[SavedSheet, ...]:
    """So many of the sheets that were made last, or of those of a student (by id): the newest first. Raises
    CoachbookError for an unknown student."""
    with book.reading() as tx:
        if student is None:
            return tuple(latest_sheets(tx, most))
        return tuple(sheets_of(tx, student_numbered(tx, student).name)[::-1][:most])

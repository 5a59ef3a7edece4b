"""One item of a student's sheet, as a coach looks at it: the board as printed, the task, what is right and
why, and what is logged of it."""

from dataclasses import dataclass
from datetime import date

from coachbook.club.book import Book
from coachbook.club.students import group_numbered, student_numbered
from coachbook.errors import CoachbookError
from coachbook.model.facts import Student
from coachbook.model.worksheet import Exercise
from coachbook.paper.text import notated
from coachbook.wording.exercises import answer_in_short
from coachbook.wording.reasons import reasons_of
from coachbook.workflows.evening_grid import GridCell, row_of
from coachbook.workflows.printed_sheets import sound_sheet


@dataclass(frozen=True, slots=True)
class ItemView:
    """An item of a sheet, with `task`, `answer` and `reasons` in words; `items` is how many the sheet has,
    and `title` is the unit's."""

    student: Student
    sheet: str
    title: str
    items: int
    exercise: Exercise
    task: str
    answer: str
    reasons: tuple[str, ...]
    cell: GridCell


def item_view(
    book: Book, group: int, on: date, student: int, item: int, men: str, beside: str = ""
) -> ItemView:
    """An item of the sheet that a student (by id) has on an evening of a group, or of one `beside` it, its
    moves with these letters for the men. Raises CoachbookError for an unknown one."""
    with book.reading() as tx:
        row = row_of(
            tx, group_numbered(tx, group).name, on, student_numbered(tx, student), [beside] if beside else ()
        )
        cells = row.cells_of(beside or row.sheet)
        if not 1 <= item <= len(cells):
            raise CoachbookError("This student has no such item.", "Load tonight's page again.")
        sheet = sound_sheet(tx, beside or row.sheet)
    exercise = sheet.items[item - 1]
    said = (exercise.solution.text.words, *reasons_of(exercise))
    return ItemView(
        student=row.student,
        sheet=sheet.code,
        title=sheet.title_of(exercise.unit),
        items=len(sheet.items),
        exercise=exercise,
        task=notated(exercise.task.words, men),
        answer=notated(answer_in_short(exercise.answer), men),
        reasons=tuple(notated(each, men) for each in said if each),
        cell=cells[item - 1],
    )

"""What a coach types in after an evening: lists to go through, and what a typed line means."""

from collections.abc import Sequence
from datetime import date

from coachbook.club.book import Book
from coachbook.club.names import name_key, no_such
from coachbook.club.sheets import load_worksheet, saved_sheet
from coachbook.club.students import list_students, student_named
from coachbook.errors import CoachbookError
from coachbook.model.worksheet import Worksheet
from coachbook.workflows.evening import GivenSheet
from coachbook.workflows.planning import named_group
from coachbook.workflows.sheets import list_sheets


def typed_answers(sheet: Worksheet, line: str) -> dict[int, str]:
    """Answers as typed in one line, in item order, parted by semicolons; those left out are blank.

    Raises CoachbookError if there are more of them than items.
    """
    parts = line.split(";")
    if len(parts) > len(sheet.items):
        raise CoachbookError(f"These are {len(parts)} answers, but the sheet has {len(sheet.items)} items.")
    parts += [""] * (len(sheet.items) - len(parts))
    return dict(enumerate(parts, start=1))


def class_list(book: Book, group: str | None) -> tuple[str, tuple[str, ...]]:
    """A group (the only one, if none is named) and its students. Raises CoachbookError if it has none."""
    with book.reading() as page:
        name = named_group(page, group).name
        students = tuple(student.name for student in list_students(page, name))
    if not students:
        raise CoachbookError(
            f"The group {name} has no student yet.", "Put some in it with 'coachbook group put'."
        )
    return name, students


def picked(names: tuple[str, ...], typed: str) -> tuple[str, ...]:
    """Those of `names` that a line picks, by number (from 1) or name, with commas between.

    Raises CoachbookError for a number or name that none of them has.
    """
    by_key = {name_key(name): name for name in names}
    by_key |= {str(number): name for number, name in enumerate(names, start=1)}
    bare = typed.replace(",", " ").split()
    parts = bare if all(part.isdecimal() for part in bare) else typed.split(",")
    wanted = [part.strip() for part in parts if part.strip()]
    for part in wanted:
        if name_key(part) not in by_key:
            raise no_such("student in the list", part, names)
    chosen = {by_key[name_key(part)] for part in wanted}
    return tuple(name for name in names if name in chosen)


def who_was_there(book: Book, group: str | None, present: Sequence[str]) -> dict[str, bool]:
    """Everyone in a group (the only one, if none is named), and whether they are among `present`.

    Guests from other groups count as present too. Raises CoachbookError for an unknown name.
    """
    students = class_list(book, group)[1]
    with book.reading() as page:
        there = {student_named(page, name).name for name in present}
    return dict.fromkeys(students, False) | dict.fromkeys(sorted(there), True)


def sheets_to_log(book: Book, code: str | None, on: date) -> tuple[GivenSheet, ...]:
    """The sheet named, else all that were made on the newest day up to `on`, each with its students.

    Raises CoachbookError if there is none.
    """
    if code is not None:
        return (given_to(book, code),)
    made = [sheet for sheet in list_sheets(book) if sheet.made_on <= on]
    if not made:
        raise CoachbookError(f"No sheet was made by {on}.", "Make one with 'coachbook sheet make'.")
    return tuple(given_to(book, sheet.code) for sheet in made if sheet.made_on == made[-1].made_on)


def given_to(book: Book, code: str) -> tuple[Worksheet, tuple[str, ...]]:
    """A sheet and the students it was given to. Raises CoachbookError."""
    with book.reading() as page:
        return load_worksheet(page, code), saved_sheet(page, code).students

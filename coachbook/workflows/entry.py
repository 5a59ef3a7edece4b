"""What a coach goes through after an evening: students, and sheets that are to be logged."""

from collections.abc import Sequence
from datetime import date

from coachbook.club.book import Book
from coachbook.club.names import find_named, no_such
from coachbook.club.prepared import prepared_codes
from coachbook.club.results import attendance, logged_students
from coachbook.club.sheets import saved_sheet
from coachbook.club.students import in_order, list_students, student_named
from coachbook.errors import CoachbookError
from coachbook.model.worksheet import Worksheet
from coachbook.workflows.evening import GivenSheet
from coachbook.workflows.groups import named_group
from coachbook.workflows.sheets import list_sheets
from coachbook.workflows.sound_sheets import sound_sheet


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


def picked(names: tuple[str, ...], typed: str, what: str = "student") -> tuple[str, ...]:
    """Those of `names` that a line picks, by number (from 1) or name, with commas between; `what` they
    are is told in the error.

    A name may be without its accents. Raises CoachbookError for a number or name that none of them has.
    """
    bare = typed.replace(",", " ").split()
    parts = bare if all(part.isdecimal() for part in bare) else typed.split(",")
    chosen = {find_picked(names, part.strip(), what) for part in parts if part.strip()}
    return tuple(name for name in names if name in chosen)


def find_picked(names: tuple[str, ...], part: str, what: str) -> str:
    """The one of `names` with this number (from 1) or name. Raises CoachbookError if there is none."""
    numbered = {str(number): name for number, name in enumerate(names, start=1)}
    found = numbered.get(part) or find_named(part, names)
    if found is None and part.casefold().endswith(" late"):
        raise CoachbookError(f"'{part}': who comes late is there.", "Name only those who did not come.")
    if found is None and part.isdecimal():
        raise CoachbookError(
            f"There is no {what} {part[:20]} in the list.",
            "The only number is 1." if len(names) == 1 else f"Numbers are 1 to {len(names)}.",
        )
    if found is None:
        raise CoachbookError(f"The list has no {what} '{part}'.", no_such(what, part, names).hint)
    return found


def who_was_there(book: Book, group: str | None, present: Sequence[str]) -> dict[str, bool]:
    """Everyone in a group (the only one, if none is named), and whether they are among `present`.

    Guests from other groups count as present too. Raises CoachbookError for an unknown name.
    """
    students = class_list(book, group)[1]
    with book.reading() as page:
        there = {student_named(page, name).name for name in present}
    return dict.fromkeys(students, False) | dict.fromkeys(sorted(there), True)


def sheets_to_log(book: Book, code: str | None, on: date, group: str | None = None) -> tuple[GivenSheet, ...]:
    """The sheet named, else all that were made on the newest day up to `on`, each with its students;
    of these only students (of a group, if one is named) of whom no answer to it is logged yet, and
    who were not marked absent on that day. A sheet of one student that another took the place of, when
    the evening was prepared again, is not among them.

    Raises CoachbookError if there is none.
    """
    if code is not None:
        return (given_to(book, code),)
    made = [sheet for sheet in list_sheets(book) if sheet.made_on <= on]
    if not made:
        raise CoachbookError(f"No sheet was made by {on}.", "Make one with 'coachbook sheet make'.")
    newest = [sheet.code for sheet in made if sheet.made_on == made[-1].made_on]
    with book.reading() as page:
        logged = {code: logged_students(page, code) for code in newest}
        away = {mark.student for mark in attendance(page, on=on) if not mark.present}
        wanted = {student.name for student in list_students(page, group)} - away
        prepared = prepared_codes(page, made[-1].made_on)
    left = []
    for sheet, students in (given_to(book, code) for code in newest):
        if len(students) == 1 and sheet.code not in prepared.get(students[0], {sheet.code}):
            continue
        waiting = tuple(name for name in students if name in wanted - logged[sheet.code])
        if waiting:
            left.append((sheet, waiting))
    if not left:
        raise CoachbookError(
            f"Everything on the sheets of {made[-1].made_on} is logged.",
            "To change something, name the sheet.",
        )
    return tuple(sorted(left, key=lambda given: in_order(given[1][0])))


def given_to(book: Book, code: str) -> tuple[Worksheet, tuple[str, ...]]:
    """A sheet and the students it was given to. Raises CoachbookError."""
    with book.reading() as page:
        return sound_sheet(page, code), saved_sheet(page, code).students

"""What a coach types in after an evening: lists to go through, and what a typed line means."""

import re
import unicodedata
from collections.abc import Sequence
from datetime import date

from coachbook.club.book import Book
from coachbook.club.names import name_key, no_such
from coachbook.club.prepared import prepared_codes
from coachbook.club.results import attendance, logged_students
from coachbook.club.sheets import load_worksheet, saved_sheet
from coachbook.club.students import in_order, list_students, student_named
from coachbook.errors import CoachbookError
from coachbook.model.worksheet import Worksheet
from coachbook.workflows.evening import CROSS, TICK, GivenSheet
from coachbook.workflows.groups import named_group
from coachbook.workflows.sheets import list_sheets
from coachbook.workflows.tables import LONGEST_FIELD

_NUMBERED = re.compile(r"(?P<item>[1-9][0-9]?)\s*:\s*(?P<answer>.*)")
_TICKS = {"1": TICK, "+": TICK, "v": TICK, "0": CROSS, "x": CROSS, "-": "", ".": ""}


def typed_answers(sheet: Worksheet, line: str) -> dict[int, str]:
    """Answers as typed in one line: in item order, parted by semicolons (those left out are blank),
    or by spaces if there is one for each item; or some items by their numbers ("3: Qe5; 5: 9").

    Raises CoachbookError for more answers than items, where it is not plain which is which, and for
    what a table of answers could not hold.
    """
    answers = _by_item(sheet, line)
    if any(len(answer) > LONGEST_FIELD for answer in answers.values()):
        raise CoachbookError(f"An answer has more than {LONGEST_FIELD} characters.", "Shorten it.")
    if any(unicodedata.category(sign) == "Cc" for answer in answers.values() for sign in answer):
        raise CoachbookError("There is a control character in the line.", "Type it again.")
    return answers


def _by_item(sheet: Worksheet, line: str) -> dict[int, str]:
    parts = [part.strip() for part in line.split(";")]
    count = len(sheet.items)
    numbered = [_NUMBERED.fullmatch(part) for part in parts]
    if all(numbered):
        return {int(match["item"]): match["answer"] for match in numbered if match}
    if len(parts) == 1 and count > 1:
        parts = line.split()
        if len(parts) != count:
            raise CoachbookError(
                f"The sheet has {count} items, and between spaces there are {len(parts)} answers.",
                "Put semicolons between them, or their number before one, such as '3: Qe5'.",
            )
    if len(parts) > count:
        raise CoachbookError(f"These are {len(parts)} answers, but the sheet has {count} items.")
    parts += [""] * (count - len(parts))
    return dict(enumerate(parts, start=1))


def typed_ticks(sheet: Worksheet, line: str) -> dict[int, str]:
    """Ticks and crosses as typed, one sign an item: 1 right, 0 wrong, - not tried; "=" for all right.

    Raises CoachbookError for another sign, or another number of them.
    """
    signs = "".join(line.lower().split())
    if signs == "=":
        signs = "1" * len(sheet.items)
    strange = sorted(set(signs) - set(_TICKS))
    if strange:
        raise CoachbookError(
            f"'{strange[0]}' is no mark.",
            "Type 1 for right, 0 for wrong, - for not tried; or = for all right.",
        )
    if len(signs) != len(sheet.items):
        raise CoachbookError(
            f"These are {len(signs)} marks, but the sheet has {len(sheet.items)} items.", "Type one for each."
        )
    return {item: _TICKS[sign] for item, sign in enumerate(signs, start=1)}


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

    Raises CoachbookError for a number or name that none of them has.
    """
    by_key = {name_key(name): name for name in names}
    by_key |= {str(number): name for number, name in enumerate(names, start=1)}
    bare = typed.replace(",", " ").split()
    parts = bare if all(part.isdecimal() for part in bare) else typed.split(",")
    wanted = [part.strip() for part in parts if part.strip()]
    for part in wanted:
        if name_key(part) not in by_key:
            raise no_such(f"{what} in the list", part, names)
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
        return load_worksheet(page, code), saved_sheet(page, code).students

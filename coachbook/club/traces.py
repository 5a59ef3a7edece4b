"""What a book of any version holds of a student: rows, and log entries."""

import sqlite3
from dataclasses import dataclass

from coachbook.club.free_text import Mention
from coachbook.club.names import name_key
from coachbook.club.rewording import Wording, delete_if_empty, reword, tables_with

ERASED = "(erased)"
"""What stands in place of the name of a student who was erased."""


@dataclass(frozen=True, slots=True)
class Taken:
    """What was changed in a book: the student as kept there (or None), rows of facts, and texts."""

    student: str | None
    facts: int
    reworded: frozenset[Mention]


def find_student(book: sqlite3.Connection, name: str) -> tuple[int, str] | None:
    """The id and the name of a student, whatever the case and spacing."""
    wanted = name_key(name)
    for row_id, known in book.execute("SELECT id, name FROM student"):
        if name_key(known) == wanted:
            return row_id, known
    return None


def names_in(book: sqlite3.Connection) -> list[str]:
    """The names of all students."""
    return [name for (name,) in book.execute("SELECT name FROM student ORDER BY id")]


def take_out(book: sqlite3.Connection, name: str, wording: Wording) -> Taken:
    """Erases a student, if there, and puts other words in place of texts, as was decided."""
    found = find_student(book, name)
    known = found[1] if found else None
    facts = _delete(book, found[0]) if found else 0
    return Taken(known, facts, reword(book, wording))


def give_name(book: sqlite3.Connection, old: str, new: str, wording: Wording) -> Taken:
    """Renames a student, if there, and puts other words in place of texts, as was decided."""
    found = find_student(book, old)
    if found:
        book.execute("UPDATE student SET name = ? WHERE id = ?", (new, found[0]))
    return Taken(found[1] if found else None, 0, reword(book, wording))


def facts_of(book: sqlite3.Connection, student_id: int) -> int:
    """How many rows there are of a student: groups, sheets, attendance, answers, and all else."""
    return sum(
        book.execute(f'SELECT count(*) FROM "{table}" WHERE student_id = ?', (student_id,)).fetchone()[0]  # noqa: S608
        for table in tables_with(book, "student_id")
    )


_ONLY_HERS = (
    "SELECT sheet_id FROM handout WHERE student_id = ? AND sheet_id NOT IN"
    " (SELECT others.sheet_id FROM handout AS others WHERE others.student_id <> handout.student_id)"
)
"""The sheets that nobody else has."""


def _delete(book: sqlite3.Connection, student_id: int) -> int:
    count = facts_of(book, student_id)
    logged = set(tables_with(book, "entry_id"))
    entries = {
        entry
        for table in logged & set(tables_with(book, "student_id"))
        for (entry,) in book.execute(f'SELECT entry_id FROM "{table}" WHERE student_id = ?', (student_id,))  # noqa: S608
    }
    if "taken_back" in logged:
        book.execute("DELETE FROM taken_back")
    own_sheets = [sheet for (sheet,) in book.execute(_ONLY_HERS, (student_id,))]
    book.execute("DELETE FROM student WHERE id = ?", (student_id,))
    for sheet in own_sheets:
        book.execute("DELETE FROM sheet_item WHERE sheet_id = ?", (sheet,))
        book.execute("DELETE FROM sheet WHERE id = ?", (sheet,))
    delete_if_empty(book, entries)
    return count

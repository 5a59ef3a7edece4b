"""What a book of any version holds of a student: rows, log entries, and mentions in what was written."""

import sqlite3
from dataclasses import dataclass

from coachbook.club.mentions import is_mentioned, with_name_replaced
from coachbook.club.names import name_key

ERASED = "(erased)"
"""What stands in place of the name of a student who was erased."""

_NO_FREE_TEXT = {
    "alembic_version": None,
    "club": None,
    "student": None,
    "teaching_group": None,
    "sheet": None,
    "sheet_item": None,
    "term_plan": None,
    "taken_back": None,  # emptied when anybody is erased
    "answer": {"slip"},
    "observation": {"unit", "impression"},
    "prepared": {"wanted", "cards"},
    "play_out": {"unit", "fen", "goal", "end", "card", "moves", "slip"},
}
"""Columns (None: all of a table) that hold coachbook's own words, where "King" is no child. Any
other column of text, also one that is still to come, may hold what somebody wrote."""

# A word of the items, such as "white", is no mention of a child called White; and what was read
# as the right answer holds no other word.
_MAY_MENTION = {
    "answer": "NOT is_right AND NOT is_mentioned((SELECT"
    " CASE WHEN json_valid(body) THEN json_extract(body, '$.items') END"
    " FROM sheet WHERE sheet.id = sheet_id))"
}


@dataclass(frozen=True, slots=True)
class Taken:
    """What was changed in a book: the student as kept there (or None), rows of facts, and mentions."""

    student: str | None
    facts: int
    mentions: int


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


def take_out(book: sqlite3.Connection, name: str) -> Taken:
    """Erases a student and all mentions of the name, which may stand there without the student."""
    found = find_student(book, name)
    known = found[1] if found else None
    facts = _delete(book, found[0]) if found else 0
    return Taken(known, facts, _replace_mentions(book, name, ERASED))


def give_name(book: sqlite3.Connection, old: str, new: str) -> Taken:
    """Renames a student, if there, also where notes mention the old name."""
    found = find_student(book, old)
    if found is None:
        return Taken(None, 0, 0)
    book.execute("UPDATE student SET name = ? WHERE id = ?", (new, found[0]))
    return Taken(found[1], 0, _replace_mentions(book, old, new))


def facts_of(book: sqlite3.Connection, student_id: int) -> int:
    """How many rows there are of a student: groups, sheets, attendance, answers, and all else."""
    return sum(
        book.execute(f'SELECT count(*) FROM "{table}" WHERE student_id = ?', (student_id,)).fetchone()[0]  # noqa: S608
        for table in _tables_with(book, "student_id")
    )


_ONLY_HERS = (
    "SELECT sheet_id FROM handout WHERE student_id = ? AND sheet_id NOT IN"
    " (SELECT others.sheet_id FROM handout AS others WHERE others.student_id <> handout.student_id)"
)
"""The sheets that nobody else has."""


def _delete(book: sqlite3.Connection, student_id: int) -> int:
    count = facts_of(book, student_id)
    logged = _tables_with(book, "entry_id")
    entries = {
        entry
        for table in logged & _tables_with(book, "student_id")
        for (entry,) in book.execute(f'SELECT entry_id FROM "{table}" WHERE student_id = ?', (student_id,))  # noqa: S608
    }
    if "taken_back" in logged:
        book.execute("DELETE FROM taken_back")
    own_sheets = [sheet for (sheet,) in book.execute(_ONLY_HERS, (student_id,))]
    book.execute("DELETE FROM student WHERE id = ?", (student_id,))
    for sheet in own_sheets:
        book.execute("DELETE FROM sheet_item WHERE sheet_id = ?", (sheet,))
        book.execute("DELETE FROM sheet WHERE id = ?", (sheet,))
    for entry in entries:
        if not any(
            book.execute(f'SELECT 1 FROM "{table}" WHERE entry_id = ? LIMIT 1', (entry,)).fetchone()  # noqa: S608
            for table in logged
        ):
            book.execute("DELETE FROM log_entry WHERE id = ?", (entry,))
    return count


def _replace_mentions(book: sqlite3.Connection, name: str, by: str) -> int:
    others = [*names_in(book), by]
    book.create_function("is_mentioned", 1, lambda text: is_mentioned(text or "", name, others))
    book.create_function("replaced", 1, lambda text: with_name_replaced(text, name, by, others))
    return sum(
        book.execute(
            f'UPDATE "{table}" SET "{column}" = replaced("{column}")'  # noqa: S608 - names from the schema
            f' WHERE is_mentioned("{column}") AND {_MAY_MENTION.get(table, "true")}'
        ).rowcount
        for table, column in _free_text(book)
    )


def _free_text(book: sqlite3.Connection) -> list[tuple[str, str]]:
    columns = book.execute(
        "SELECT t.name, c.name FROM sqlite_master t, pragma_table_info(t.name) c"
        " WHERE t.type = 'table' AND t.name NOT LIKE 'sqlite_%'"
        " AND (c.type LIKE '%CHAR%' OR c.type LIKE '%TEXT%' OR c.type LIKE '%JSON%')"
    ).fetchall()
    return [
        (table, column)
        for table, column in columns
        if (ours := _NO_FREE_TEXT.get(table, set())) is not None and column not in ours
    ]


def _tables_with(book: sqlite3.Connection, column: str) -> set[str]:
    found = book.execute(
        "SELECT t.name FROM sqlite_master t, pragma_table_info(t.name) c"
        " WHERE t.type = 'table' AND c.name = ?",
        (column,),
    )
    return {table for (table,) in found}

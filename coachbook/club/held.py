"""Everything that the book holds of one student, to be given out: nothing of others is in it."""

import sqlite3
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date
from typing import cast

from coachbook.club.book import Reading
from coachbook.club.free_text import (
    ANSWER,
    CLUB,
    GROUP,
    NOTE,
    Mention,
    find_student,
    free_text,
    mentions_in,
    names_in,
    tables_with,
)
from coachbook.club.mentions import Span, find_spans, with_replaced
from coachbook.club.stored import stored_date, stored_number, stored_text
from coachbook.model.printed import KeptRow, OtherText, PreparedPapers

SOMEBODY = "(another student)"
"""What stands in place of the name of another student."""

_TAKEN_BACK = "taken_back"

_WHAT = {
    NOTE: "a note on another student",
    ANSWER: "an answer of another student",
    GROUP: "the name of a group",
    CLUB: "the name of the club",
}
_FOLDER = "the name of the folder for papers"


@dataclass(frozen=True, slots=True)
class Blank:
    """Takes the names of all other students out of what was written."""

    student: str
    others: tuple[str, ...]

    def __call__(self, text: str) -> str:
        """The text without them; what may as well be the student's own name stays."""
        own = find_spans(text, self.student, self.others)
        theirs = [
            span
            for other in self.others
            for span in find_spans(text, other, (*self.others, self.student))
            if not any(mine.start <= span.start and span.end <= mine.end for mine in own)
        ]
        return with_replaced(text, _joined(theirs), SOMEBODY)


def blank_for(tx: Reading, student: str) -> Blank:
    """What takes the names of others out of texts that are given to a student of this name."""
    return Blank(student, tuple(name for name in names_in(_file(tx)) if name != student))


def rows_of(tx: Reading, student: str) -> list[KeptRow]:
    """Each row of each table that belongs to a student, also one that was put right by a later one.

    Numbers of rows are replaced by what they stand for: groups by their names, sheets by their codes,
    log entries also by when they were logged.
    """
    file, blank = _file(tx), blank_for(tx, student)
    found = find_student(file, student)
    number = found[0] if found else None
    return [
        KeptRow(table, tuple(_shown(file, table, dict(zip(columns, row, strict=True)), blank).items()))
        for table in sorted(tables_with(file, "student_id"))
        for columns in [_columns(file, table)]
        for row in file.execute(f'SELECT * FROM "{table}" WHERE student_id = ?', (number,))  # noqa: S608
    ]


def prepared_of(tx: Reading, student: str) -> list[PreparedPapers]:
    """What was made ready for a student, by evening."""
    blank = blank_for(tx, student)
    rows = _file(tx).execute(
        "SELECT g.name, p.evening, sheet.code, p.wanted, p.cards FROM prepared p"
        " JOIN student s ON s.id = p.student_id JOIN teaching_group g ON g.id = p.group_id"
        " LEFT JOIN sheet ON sheet.id = p.sheet_id WHERE s.name = ? ORDER BY p.evening, g.name",
        (student,),
    )
    return [
        PreparedPapers(
            blank(group), stored_date(on), code or "", stored_text(wanted), tuple(stored_text(cards).split())
        )
        for group, on, code, wanted, cards in rows
    ]


def texts_on_others(tx: Reading, student: str) -> list[OtherText]:
    """What was written of others, and may mention a student, by date; without the names of those others."""
    file, blank = _file(tx), blank_for(tx, student)
    found = find_student(file, student)
    mentions = mentions_in(file, student, names_in(file), found[0] if found else None)
    texts = [_text_on_others(mention, blank) for mention in mentions]
    return sorted(texts, key=lambda text: text.on or date.max)


def _text_on_others(mention: Mention, blank: Blank) -> OtherText:
    what = _WHAT.get(mention.table, f"{mention.table}, {mention.column}")
    what = _FOLDER if (mention.table, mention.column) == (CLUB, "folder") else what
    on = stored_date(mention.evening) if mention.evening else None
    return OtherText(what, on, mention.unit, blank(mention.text), bool(mention.exact))


def _shown(
    file: sqlite3.Connection, table: str, row: Mapping[str, object], blank: Blank
) -> dict[str, object]:
    free = {column for of, column in free_text(file) if of == table}
    if table == _TAKEN_BACK:
        free.add("body")
    shown: dict[str, object] = {}
    for column, value in row.items():
        if column in ("group_id", "guest_of"):
            name = _of(file, "SELECT name FROM teaching_group WHERE id = ?", value)
            shown[column.removesuffix("_id")] = blank(name) if isinstance(name, str) else None
        elif column == "sheet_id":
            shown["sheet"] = _of(file, "SELECT code FROM sheet WHERE id = ?", value)
        elif column == "entry_id":
            shown["entry"] = stored_number(value) if value is not None else None
            logged_at = row.get("logged_at") or _of(
                file, "SELECT logged_at FROM log_entry WHERE id = ?", value
            )
            shown["logged_at"] = logged_at
        elif column != "student_id":
            shown[column] = blank(value) if column in free and isinstance(value, str) else value
    return shown


def _of(file: sqlite3.Connection, query: str, value: object) -> object:
    found = file.execute(query, (value,)).fetchone()
    return found[0] if found else None


def _columns(file: sqlite3.Connection, table: str) -> list[str]:
    return [name for (name,) in file.execute("SELECT name FROM pragma_table_info(?)", (table,))]


def _joined(spans: Iterable[Span]) -> list[Span]:
    """The spans in order; those that overlap as one."""
    joined: list[Span] = []
    for span in sorted(spans, key=lambda each: each.start):
        if joined and span.start < joined[-1].end:
            last = joined.pop()
            span = Span(last.start, max(last.end, span.end), last.is_exact)
        joined.append(span)
    return joined


def _file(tx: Reading) -> sqlite3.Connection:
    return cast(sqlite3.Connection, tx.session.connection().connection.driver_connection)

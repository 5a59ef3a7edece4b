"""What somebody wrote freely, in a book of any version, and where it may mention a student."""

import sqlite3
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field, replace

from coachbook.club.mentions import Span, words_of
from coachbook.club.names import name_key
from coachbook.club.near_misses import find_spans

NOTE, ANSWER, GROUP, CLUB = "observation", "answer", "teaching_group", "club"
"""The tables of this version that hold free text."""

_NO_FREE_TEXT = {
    "alembic_version": None,
    "student": None,
    "sheet": None,
    "sheet_item": None,
    "term_plan": None,
    "taken_back": None,  # emptied when a student is erased
    CLUB: {"letters"},
    ANSWER: {"slip"},
    NOTE: {"unit", "impression"},
    "prepared": {"wanted", "cards"},
    "play_out": {"unit", "fen", "goal", "end", "card", "moves", "slip"},
}
"""Columns (None: all of a table) that hold coachbook's own words or the syllabus's, where "King" is no
child. Any other column of text, also one that is still to come, may hold what somebody wrote."""

_WANTED = ("entry_id", "student_id", "sheet_id", "unit", "evening")


@dataclass(frozen=True, slots=True)
class Mention:
    """A text that names a student, or may do so, and where it stands; two are equal if these are.

    `entry` is the number of the log entry, None outside the log; `spans` are where the name may be.
    `of` are the names of the students whom the text belongs to; `unit` and `evening` (an ISO date) are
    "" where there is none. `in_book` is False for what only a backup holds.
    """

    table: str
    column: str
    entry: int | None
    text: str
    spans: tuple[Span, ...] = field(compare=False)
    of: tuple[str, ...] = field(compare=False, default=())
    unit: str = field(compare=False, default="")
    evening: str = field(compare=False, default="")
    in_book: bool = field(compare=False, default=True)

    @property
    def exact(self) -> tuple[Span, ...]:
        """The spans that are the student's name, and no near misses."""
        return tuple(span for span in self.spans if span.is_exact)


@dataclass(frozen=True, slots=True)
class _Text:
    text: str
    entry: int | None
    student: str
    sheet_id: int | None
    unit: str
    evening: str


def mentions_in(
    file: sqlite3.Connection, name: str, others: Iterable[str], but: int | None = None
) -> list[Mention]:
    """All texts that may mention a name; those of the student with the id `but` are left out.

    An answer that was read as right holds no other word; and one in words of its sheet alone, such
    as "white", does not mean a child called White.
    """
    known = tuple(others)
    found: dict[Mention, Mention] = {}
    for table, column in free_text(file):
        for each in _texts(file, table, column, but):
            spans = find_spans(each.text, name, known)
            if not spans or _is_of_its_sheet(file, each):
                continue
            of = (each.student,) if each.student else ()
            mention = Mention(table, column, each.entry, each.text, spans, of, each.unit, each.evening)
            same = found.get(mention, mention)
            found[mention] = replace(same, of=tuple(dict.fromkeys((*same.of, *of))))
    return list(found.values())


def free_text(file: sqlite3.Connection) -> list[tuple[str, str]]:
    """The tables and columns that may hold what somebody wrote."""
    columns = file.execute(
        "SELECT t.name, c.name FROM sqlite_master t, pragma_table_info(t.name) c"
        " WHERE t.type = 'table' AND t.name NOT LIKE 'sqlite_%'"
        " AND (c.type LIKE '%CHAR%' OR c.type LIKE '%TEXT%' OR c.type LIKE '%JSON%')"
    ).fetchall()
    return [
        (table, column)
        for table, column in columns
        if (ours := _NO_FREE_TEXT.get(table, set())) is not None and column not in ours
    ]


def _texts(file: sqlite3.Connection, table: str, column: str, but: int | None) -> Iterator[_Text]:
    there = {name for (name,) in file.execute("SELECT name FROM pragma_table_info(?)", (table,))}
    chosen = ", ".join(f'"{name}"' if name in there else "NULL" for name in _WANTED)
    where = f"""typeof("{column}") = 'text'"""
    where += " AND NOT is_right" if table == ANSWER else ""
    where += " AND student_id IS NOT ?" if "student_id" in there else " AND ? IS ?1"
    query = f'SELECT "{column}", {chosen} FROM "{table}" WHERE {where}'  # noqa: S608 - names from the schema
    names = dict(file.execute("SELECT id, name FROM student"))
    for text, entry, student, sheet_id, unit, evening in file.execute(query, (but,)):
        yield _Text(text, entry, names.get(student, ""), sheet_id, unit or "", evening or "")


def _is_of_its_sheet(file: sqlite3.Connection, text: _Text) -> bool:
    if text.sheet_id is None:
        return False
    found = file.execute("SELECT body FROM sheet WHERE id = ?", (text.sheet_id,)).fetchone()
    body = found[0] if found else ""
    printed = {name_key(body[start:end]) for start, end in words_of(body)}
    return all(name_key(text.text[start:end]) in printed for start, end in words_of(text.text))

"""What somebody wrote freely, in a book of any version: where it may mention a student, and rewording it.

Nothing is changed by matching: a text is found by its place, its log entry and all of its words. So
the same note in a backup becomes the same.
"""

import json
import sqlite3
from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass, field, replace
from types import MappingProxyType

from coachbook.club.earlier_words import with_group_renamed
from coachbook.club.mentions import Span, find_spans, words_of
from coachbook.club.names import name_key
from coachbook.club.stored import is_sealed, opened, sealed, stored_number
from coachbook.model.term_plan import NAMES_GROUPS

NOTE, ANSWER, GROUP, CLUB = "observation", "answer", "teaching_group", "club"
"""The tables of this version that hold free text."""

_NO_FREE_TEXT = {
    "alembic_version": None,
    "student": None,
    "sheet": None,
    "sheet_item": None,
    "term_plan": None,
    "taken_back": None,  # emptied when a student is erased
    CLUB: {"letters", "paper", "notation", "dates"},
    ANSWER: {"slip"},
    NOTE: {"unit", "impression"},
    "prepared": {"wanted", "cards"},
    "touch": {"code"},  # digits and letters of a number, see `touches`
    "play_out": {"unit", "fen", "goal", "end", "card", "moves", "slip", "clocks"},
    "board_game": None,
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


Wording = Mapping[Mention, str | None]
"""The text that is to stand in place of another; None for a note that goes."""

NOTHING: Wording = MappingProxyType({})
"""Every text stays as it is."""


def reword(file: sqlite3.Connection, wording: Wording) -> frozenset[Mention]:
    """Puts other words in place of texts, and returns those that were there."""
    free = set(free_text(file))
    return frozenset(
        mention
        for mention, text in wording.items()
        if (mention.table, mention.column) in free and _change(file, mention, text)
    )


def delete_if_empty(file: sqlite3.Connection, entries: Iterable[int]) -> None:
    """Deletes those of the log entries of which no fact is left."""
    logged = tables_with(file, "entry_id")
    for entry in entries:
        if not any(
            file.execute(f'SELECT 1 FROM "{table}" WHERE entry_id = ? LIMIT 1', (entry,)).fetchone()  # noqa: S608
            for table in logged
        ):
            file.execute("DELETE FROM log_entry WHERE id = ?", (entry,))


def tables_with(file: sqlite3.Connection, column: str) -> list[str]:
    """The tables that have a column of this name."""
    found = file.execute(
        "SELECT t.name FROM sqlite_master t, pragma_table_info(t.name) c"
        " WHERE t.type = 'table' AND c.name = ?",
        (column,),
    )
    return [table for (table,) in found]


def _change(file: sqlite3.Connection, mention: Mention, text: str | None) -> bool:
    table, column, old = mention.table, mention.column, mention.text
    where, values = f'WHERE "{column}" = ?', [old]
    if mention.entry is not None:
        where += f" AND entry_id = {stored_number(mention.entry)}"
    if text is None:
        count = file.execute(f'DELETE FROM "{table}" {where}', values).rowcount  # noqa: S608 - from the schema
        delete_if_empty(file, [] if mention.entry is None else [mention.entry])
        return count > 0
    new = _free_name(file, text, old) if table == GROUP else text
    count = file.execute(f'UPDATE "{table}" SET "{column}" = ? {where}', [new, *values]).rowcount  # noqa: S608
    if count and table == GROUP:
        _change_bodies(file, "term_plan", lambda plan: _in_plan(plan, old, new))
    if count and table == CLUB:
        _change_bodies(file, "sheet", lambda sheet: _in_sheet(sheet, old, new))
    return count > 0


def _free_name(file: sqlite3.Connection, name: str, old: str) -> str:
    """The name of a group, with a number if another one has it."""
    taken = {name_key(known) for (known,) in file.execute("SELECT name FROM teaching_group") if known != old}
    free, number = name, 1
    while name_key(free) in taken:
        number += 1
        free = f"{name} {number}"
    return free


def _change_bodies(file: sqlite3.Connection, table: str, change: Callable[[object], object]) -> None:
    rows = file.execute(f"SELECT id, body FROM {table}").fetchall()  # noqa: S608 - one of our tables
    for row_id, body in rows:
        try:
            before = json.loads(opened(body) or "")
        except ValueError:  # damaged; `check` reports it
            continue
        after = change(before)
        if after != before:
            text = json.dumps(after, ensure_ascii=False, separators=(",", ":"))
            text = sealed(text) if is_sealed(body) else text
            file.execute(f"UPDATE {table} SET body = ? WHERE id = ?", (text, row_id))  # noqa: S608


def _in_plan(plan: object, old: str, new: str) -> object:
    """The plan with a group's other name, among those that share its hall and in the words of its slots."""
    if isinstance(plan, list):
        return [_in_plan(each, old, new) for each in plan]
    if not isinstance(plan, dict):
        return plan
    changed = {key: _in_plan(value, old, new) for key, value in plan.items()}
    if isinstance(room := plan.get("room"), list):
        changed["room"] = [new if name == old else name for name in room]
    why = plan.get("why")
    if isinstance(why, str) and "kind" in plan:
        changed["why"] = with_group_renamed(why, old, new)
    elif why in NAMES_GROUPS and isinstance(names := plan.get("names"), list):
        changed["names"] = [new if name == old else name for name in names]
    return changed


def _in_sheet(sheet: object, old: str, new: str) -> object:
    """The sheet with the club's other name at its head."""
    return {**sheet, "club": new} if isinstance(sheet, dict) and sheet.get("club") == old else sheet


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

"""Putting what the coach decided in place of what was written, in a book of any version.

Nothing is changed by matching: a text is found by its place, its log entry and all of its words. So
the same note in a backup becomes the same.
"""

import json
import re
import sqlite3
from collections.abc import Callable, Iterable, Mapping
from types import MappingProxyType

from coachbook.club.free_text import CLUB, GROUP, Mention, free_text
from coachbook.club.groups import WITH_OTHERS
from coachbook.club.names import name_key
from coachbook.club.seal import is_sealed, opened, sealed
from coachbook.club.values import stored_number

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
        except ValueError:  # damaged; `check` tells of it
            continue
        after = change(before)
        if after != before:
            text = json.dumps(after, ensure_ascii=False, separators=(",", ":"))
            text = sealed(text) if is_sealed(body) else text
            file.execute(f"UPDATE {table} SET body = ? WHERE id = ?", (text, row_id))  # noqa: S608


def _in_plan(plan: object, old: str, new: str) -> object:
    """The plan with a group's other name, in its list of room mates and in the words of its slots."""
    if isinstance(plan, list):
        return [_in_plan(each, old, new) for each in plan]
    if not isinstance(plan, dict):
        return plan
    changed = {key: _in_plan(value, old, new) for key, value in plan.items()}
    if isinstance(room := plan.get("room"), list):
        changed["room"] = [new if name == old else name for name in room]
    if isinstance(why := plan.get("why"), str):
        doing, phrase, groups = why.partition(WITH_OTHERS)
        groups = re.sub(rf"(?<!\w){re.escape(old)}(?!\w)", lambda _: new, groups)
        changed["why"] = f"{doing}{phrase}{groups}"
    return changed


def _in_sheet(sheet: object, old: str, new: str) -> object:
    """The sheet with the club's other name at its head."""
    return {**sheet, "club": new} if isinstance(sheet, dict) and sheet.get("club") == old else sheet

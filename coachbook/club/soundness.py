"""Whether a database is sound, has the tables that it should, and holds the same as another."""

import sqlite3
from collections.abc import Generator, Iterator
from contextlib import closing
from functools import cache
from itertools import zip_longest
from pathlib import Path

from sqlalchemy import create_engine
from sqlalchemy.pool import StaticPool

from coachbook.club.connection import connect_to_read, revision_of, told_plainly
from coachbook.club.rows import Row
from coachbook.club.stored import opened
from coachbook.errors import CoachbookError

_DAMAGE = (sqlite3.SQLITE_CORRUPT, sqlite3.SQLITE_NOTADB, sqlite3.SQLITE_ERROR)
"""SQLite's result codes for a file that is damaged, is no database, or lacks a table."""

_MOST_TOLD = 10
"""A damaged page brings up hundreds of faults that say no more."""


def faults(connection: sqlite3.Connection) -> list[str]:
    """What SQLite finds wrong with the file, and rows that belong to nothing."""
    found = [told for told in _damage(connection) if told != "ok"]
    if found:
        return [f"is damaged ({' '.join(told.split())})" for told in found]
    lost = {(table, parent) for table, _, parent, _ in connection.execute("PRAGMA foreign_key_check")}
    return [
        f"has rows in the table {table} that belong to nothing in {parent}" for table, parent in sorted(lost)
    ]


def check_sound(connection: sqlite3.Connection, path: Path) -> None:
    """Raises CoachbookError, naming `path`, if there is a fault."""
    found = faults(connection)
    if found:
        raise CoachbookError(f"The file {path} {found[0]}.", "Bring back a backup.")


def find_fault_of_backup(path: Path) -> str | None:
    """What is wrong with a backup, in one line; None if it can be relied on.

    Raises CoachbookError if that cannot be found out, as when another program uses it.
    """
    with told_plainly(path, "backup"):
        try:
            with closing(connect_to_read(path)) as connection:
                revision_of(connection, path)
                return next(iter(faults(connection)), None)
        except CoachbookError:
            return "is not a coachbook book"
        except sqlite3.DatabaseError as error:
            if error.sqlite_errorcode & 0xFF not in _DAMAGE:
                raise
            return f"is damaged ({error})"


def find_damaged_text(path: Path) -> str | None:
    """A sheet or a term plan in a sound backup that is not what it was when it was written, such as
    "a damaged sheet QB-1"; None if all are."""
    with told_plainly(path, "backup"), closing(connect_to_read(path)) as connection:
        return next(_damaged_texts(connection), None)


def _damaged_texts(connection: sqlite3.Connection) -> Iterator[str]:
    for code, body in connection.execute("SELECT code, body FROM sheet ORDER BY code"):
        if not isinstance(body, str) or opened(body) is None:
            yield f"a damaged sheet {code}"
    for group, body in connection.execute(
        "SELECT name, body FROM term_plan JOIN teaching_group ON teaching_group.id = group_id"
    ):
        if not isinstance(body, str) or opened(body) is None:
            yield f"a damaged term plan of group {group}"


def holds_the_same(
    connection: sqlite3.Connection, other: sqlite3.Connection, *, schema: str = "main", of: str = "main"
) -> bool:
    """Whether two databases have the same tables and indexes with the same rows."""
    with closing(_contents(connection, schema)) as ours, closing(_contents(other, of)) as theirs:
        return all(one == two for one, two in zip_longest(ours, theirs))


def _damage(connection: sqlite3.Connection) -> list[str]:
    try:
        return [told for (told,) in connection.execute(f"PRAGMA integrity_check({_MOST_TOLD})")]
    except sqlite3.DatabaseError as error:
        if error.sqlite_errorcode & 0xFF != sqlite3.SQLITE_CORRUPT:
            raise
        return [str(error)]


def tables(connection: sqlite3.Connection, schema: str = "main") -> list[tuple[str, str]]:
    """The name of each table and the statement that makes it, in the order in which they were made."""
    return connection.execute(
        f"SELECT name, sql FROM {schema}.sqlite_master"  # noqa: S608 - a schema's name is ours
        " WHERE type = 'table' AND name NOT LIKE 'sqlite_%' ORDER BY rowid"
    ).fetchall()


def indexes(connection: sqlite3.Connection, schema: str = "main") -> list[str]:
    """The statements that make the indexes, but those that come with a table, in the order
    in which they were made."""
    found = connection.execute(
        f"SELECT sql FROM {schema}.sqlite_master"  # noqa: S608 - a schema's name is ours
        " WHERE type = 'index' AND sql IS NOT NULL ORDER BY rowid"
    )
    return [sql for (sql,) in found]


def _contents(connection: sqlite3.Connection, schema: str) -> Generator[object, None, None]:
    yield from indexes(connection, schema)
    for name, sql in tables(connection, schema):
        yield sql
        columns = connection.execute("SELECT count(*) FROM pragma_table_info(?, ?)", (name, schema))
        order = ", ".join(str(number + 1) for number in range(columns.fetchone()[0]))
        yield from connection.execute(
            f'SELECT * FROM {schema}."{name}" ORDER BY {order}'  # noqa: S608 - names from the schema
        )


_Shape = dict[str, frozenset[tuple[object, ...]]]


def strange_tables(connection: sqlite3.Connection) -> list[str]:
    """The tables of an up-to-date book that are missing, or have other columns, references or indexes
    than they should."""
    found = _shape(connection)
    return [table for table, parts in _expected().items() if found.get(table) != parts]


@cache
def _expected() -> _Shape:
    with closing(sqlite3.connect(":memory:")) as connection:
        engine = create_engine("sqlite://", creator=lambda: connection, poolclass=StaticPool)
        Row.metadata.create_all(engine)
        return _shape(connection)


def _shape(connection: sqlite3.Connection) -> _Shape:
    tables = connection.execute("SELECT name FROM sqlite_master WHERE type = 'table'").fetchall()
    return {name: frozenset(_parts(connection, name)) for (name,) in tables}


def _parts(connection: sqlite3.Connection, table: str) -> Iterator[tuple[object, ...]]:
    """Columns, references and indexes. Not their order, in which upgraded books may differ, nor the names
    that SQLite gives by itself."""
    run = connection.execute
    yield from run('SELECT name, type, "notnull", dflt_value, pk FROM pragma_table_info(?)', (table,))
    yield from run(
        'SELECT "from", "table", "to", on_update, on_delete FROM pragma_foreign_key_list(?)', (table,)
    )
    for name, unique, origin in run('SELECT name, "unique", origin FROM pragma_index_list(?)', (table,)):
        columns = run('SELECT name, "desc", coll, "key" FROM pragma_index_xinfo(?) ORDER BY seqno', (name,))
        yield name if origin == "c" else "", unique, *columns

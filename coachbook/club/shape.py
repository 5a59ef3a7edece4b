"""Whether the tables of a book are those that coachbook makes: a flipped bit may rename a column, or
change its type."""

import sqlite3
from collections.abc import Iterator
from contextlib import closing
from functools import cache

from sqlalchemy import create_engine
from sqlalchemy.pool import StaticPool

from coachbook.club.rows import Row

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

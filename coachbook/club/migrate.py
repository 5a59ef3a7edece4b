"""Bringing a book's schema up to date, through the numbered steps in `migrations`.

Apart from `book` because alembic takes a while to load and a current book needs none of it.
"""

import sqlite3
from contextlib import closing
from pathlib import Path
from typing import cast

from alembic.migration import MigrationContext
from alembic.operations import Operations
from alembic.script import ScriptDirectory
from sqlalchemy import Connection

from coachbook.club.connection import connect, create_private, engine_of, for_writing
from coachbook.errors import CoachbookError

MIGRATIONS = Path(__file__).parent / "migrations"


def migrate(connection: Connection) -> None:
    """Takes all steps that are missing, within the transaction that is open.

    A step may have to copy, drop and rename a table, which is safe only with foreign keys
    off (https://sqlite.org/lang_altertable.html, section 7); so they are checked at the end.
    Raises CoachbookError if a reference leads nowhere.
    """
    context = MigrationContext.configure(connection)
    steps = ScriptDirectory(MIGRATIONS)
    missing = list(steps.iterate_revisions("head", context.get_current_revision() or "base"))
    with Operations.context(context):
        for step in reversed(missing):
            step.module.upgrade()
    context.stamp(steps, "head")
    if connection.exec_driver_sql("PRAGMA foreign_key_check").first() is not None:
        raise CoachbookError("The book has entries that belong to nothing.", "Bring back a backup of it.")


def upgrade(path: Path) -> None:
    """Upgrades an older book after putting a copy of it aside, beside it.

    Nothing changes if it fails. Raises CoachbookError, sqlite3.Error, DBAPIError or OSError.
    """
    with for_writing(engine_of(path)).connect() as connection:
        # Has no effect within a transaction, so it comes before the first one.
        _driver(connection).execute("PRAGMA foreign_keys = OFF")
        with connection.begin():
            # Read under the write lock: another program may just have upgraded it.
            revision = MigrationContext.configure(connection).get_current_revision()
            if revision != ScriptDirectory(MIGRATIONS).get_current_head():
                copy = _put_copy_aside(path, f"{path.name}.before-{revision}")
                try:
                    migrate(connection)
                except BaseException:
                    copy.unlink()
                    raise


def _driver(connection: Connection) -> sqlite3.Connection:
    return cast(sqlite3.Connection, connection.connection.driver_connection)


def _put_copy_aside(path: Path, name: str) -> Path:
    copy = path.with_name(f"{name}.bak")
    number = 1
    while copy.exists():
        number += 1
        copy = path.with_name(f"{name}-{number}.bak")
    create_private(copy)
    try:
        with closing(connect(path)) as source, closing(connect(copy)) as target:
            source.backup(target)
    except BaseException:
        copy.unlink()
        raise
    return copy

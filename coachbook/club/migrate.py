"""Bringing a book's schema up to date, through the numbered steps in `migrations`.

Apart from `book` because alembic takes a while to load and a current book needs none of it.
"""

import sqlite3
from collections.abc import Iterator
from contextlib import contextmanager, nullcontext
from pathlib import Path
from typing import cast

from alembic.migration import MigrationContext
from alembic.operations import Operations
from alembic.script import ScriptDirectory
from sqlalchemy import Connection

from coachbook.club.backup import copy_to_own, remove_own
from coachbook.club.connection import engine_of, for_writing
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


def upgrade(path: Path, keep_copy: bool = True) -> None:
    """Upgrades an older book, after putting a copy of it among its backups.

    Nothing changes if it fails. Raises CoachbookError if the copy cannot be made or a reference leads
    nowhere, sqlite3.Error or DBAPIError for faults of the file, and OSError if the disk refuses.
    """
    with for_writing(engine_of(path)).connect() as connection:
        # Has no effect within a transaction, so it comes before the first one.
        _driver(connection).execute("PRAGMA foreign_keys = OFF")
        with connection.begin():
            # Read under the write lock: another program may just have upgraded it.
            revision = MigrationContext.configure(connection).get_current_revision()
            if revision != ScriptDirectory(MIGRATIONS).get_current_head():
                with _keeping_copy(path, f"before-{revision}") if keep_copy else nullcontext():
                    migrate(connection)


def _driver(connection: Connection) -> sqlite3.Connection:
    return cast(sqlite3.Connection, connection.connection.driver_connection)


@contextmanager
def _keeping_copy(path: Path, name: str) -> Iterator[None]:
    """A copy of the book, which goes again if the block raises."""
    copy = copy_to_own(path, name)
    try:
        yield
    except BaseException:
        remove_own(copy)
        raise

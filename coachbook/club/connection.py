"""How a connection to a book's file is made, and what marks a file as a book."""

import os
import sqlite3
from contextlib import closing, suppress
from pathlib import Path

from sqlalchemy import Connection, Engine, create_engine, event
from sqlalchemy.pool import NullPool

from coachbook.errors import CoachbookError

APPLICATION_ID = int.from_bytes(b"coac", "big")
"""Marks the file as a book (PRAGMA application_id), so that no other program's database is taken for one."""

WAIT_SECONDS = 30.0
"""How long a connection waits while another one writes."""

_BEGIN = "coachbook_begin"


def connect(path: Path) -> sqlite3.Connection:
    """A connection in autocommit with foreign keys on. Never creates the file. Raises sqlite3.Error."""
    connection = sqlite3.connect(
        f"{path.absolute().as_uri()}?mode=rw", uri=True, timeout=WAIT_SECONDS, isolation_level=None
    )
    connection.execute("PRAGMA foreign_keys = ON")
    return connection


def engine_of(path: Path) -> Engine:
    """An engine that opens one connection for each transaction and keeps none, so that
    nothing is left open and the book is a single file between transactions."""
    engine = create_engine("sqlite://", creator=lambda: connect(path), poolclass=NullPool)
    event.listen(engine, "begin", _begin)
    return engine


def for_writing(engine: Engine) -> Engine:
    """The same engine, whose transactions take the write lock at their start: one that has
    read may then write without finding that another came between."""
    return engine.execution_options(**{_BEGIN: "BEGIN IMMEDIATE"})


def _begin(connection: Connection) -> None:
    connection.exec_driver_sql(connection.get_execution_options().get(_BEGIN, "BEGIN"))


def create_private(path: Path) -> None:
    """Makes an empty file that only its owner may use. Raises OSError, also if there is one.

    SQLite gives its -wal and -shm files the same permissions.
    """
    os.close(os.open(path, os.O_CREAT | os.O_EXCL | os.O_RDWR, 0o600))


def make_private(path: Path) -> None:
    """Takes a book that was copied here out of other people's sight, if it is ours to do so."""
    mode = path.stat().st_mode & 0o777
    if mode & 0o077:
        with suppress(PermissionError):
            path.chmod(mode & 0o700)


def read_revision(path: Path) -> str:
    """The number of the schema that the book was written with ("0001").

    Raises CoachbookError for a database that is no book, sqlite3.Error for a file that is none.
    """
    with closing(connect(path)) as connection:
        (mark,) = connection.execute("PRAGMA application_id").fetchone()
        if mark != APPLICATION_ID:
            raise CoachbookError(
                f"The file {path} is not a coachbook book.", "Choose the file that coachbook made."
            )
        (revision,) = connection.execute("SELECT max(version_num) FROM alembic_version").fetchone()
        return str(revision)

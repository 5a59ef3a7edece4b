"""How a connection to a book's file is made, and what marks a file as a book."""

import os
import sqlite3
from collections.abc import Iterator
from contextlib import closing, contextmanager, suppress
from pathlib import Path

from sqlalchemy import Connection, Engine, create_engine, event
from sqlalchemy.pool import NullPool

from coachbook.club.values import CHECKED_TYPES
from coachbook.errors import CoachbookError

APPLICATION_ID = int.from_bytes(b"coac", "big")
"""Marks the file as a book (PRAGMA application_id), so that no other program's database is taken for one."""

WAIT_SECONDS = 30.0
"""How long a connection waits while another one writes."""

SIDE_FILES = ("-journal", "-wal", "-shm")
"""What SQLite keeps beside a database while it is in use."""

BRING_BACK = "Bring back a backup of it with 'coachbook restore NAME'."
"""What to do with a book that is damaged."""

_BEGIN = "coachbook_begin"


def connect(path: Path) -> sqlite3.Connection:
    """A connection in autocommit with foreign keys on. Never creates the file. Raises sqlite3.Error.

    What it deletes is overwritten, so that a file keeps nothing of what was taken back or erased.
    """
    connection = _connect(f"{path.absolute().as_uri()}?mode=rw")
    connection.execute("PRAGMA foreign_keys = ON")
    connection.execute("PRAGMA secure_delete = ON")
    return connection


def connect_to_read(path: Path) -> sqlite3.Connection:
    """A connection to a backup that nobody uses. Raises sqlite3.Error.

    It works where nothing may be written, and leaves nothing beside the file; what another
    program left unfinished there is finished first.
    """
    if side_files(path):
        return connect(path)
    return _connect(f"{path.absolute().as_uri()}?mode=ro&immutable=1")


@contextmanager
def holding(path: Path) -> Iterator[sqlite3.Connection]:
    """A connection that has the book's write lock; all that is done with it is kept, or nothing.

    Who changes the folder of backups holds this lock, so that two programs do not meet there.
    Raises sqlite3.Error.
    """
    with closing(connect(path)) as connection:
        connection.execute("BEGIN IMMEDIATE")
        yield connection
        connection.execute("COMMIT")


def _connect(address: str) -> sqlite3.Connection:
    return sqlite3.connect(address, uri=True, timeout=WAIT_SECONDS, isolation_level=None)


def engine_of(path: Path) -> Engine:
    """An engine that opens one connection for each transaction and keeps none, so that
    nothing is left open and the book is a single file between transactions."""
    engine = create_engine("sqlite://", creator=lambda: connect(path), poolclass=NullPool)
    engine.dialect.colspecs = {**engine.dialect.colspecs, **CHECKED_TYPES}
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

    SQLite gives its side files the same permissions.
    """
    os.close(os.open(path, os.O_CREAT | os.O_EXCL | os.O_RDWR, 0o600))


def make_private(path: Path) -> None:
    """Takes a book that was copied here out of other people's sight, if it is ours to do so."""
    mode = path.stat().st_mode & 0o777
    if mode & 0o077:
        with suppress(PermissionError):
            path.chmod(mode & 0o700)


def side_files(path: Path) -> list[Path]:
    """The files that SQLite has left beside a database, or has there while it is in use."""
    beside = (path.with_name(path.name + suffix) for suffix in SIDE_FILES)
    return [side for side in beside if side.exists()]


def open_up_side_files(path: Path) -> None:
    """Lets a book's owner use the side files as the book itself, if it is ours to do so.

    SQLite made them as the book was then: they stay read-only when the book no longer is.
    """
    wanted = path.stat().st_mode & 0o600
    for side in side_files(path):
        mode = side.stat().st_mode & 0o777
        if mode & wanted != wanted:
            with suppress(PermissionError):
                side.chmod(mode | wanted)


def read_revision(path: Path) -> str:
    """The number of the schema that the book was written with ("0001").

    Raises CoachbookError for a database that is no book, sqlite3.Error for a file that is none.
    """
    with closing(connect(path)) as connection:
        return revision_of(connection, path)


def revision_of(connection: sqlite3.Connection, path: Path) -> str:
    """The same of a file that is open. Raises the same."""
    (mark,) = connection.execute("PRAGMA application_id").fetchone()
    found = connection.execute("SELECT count(*) FROM sqlite_master WHERE name = 'alembic_version'").fetchone()
    if mark != APPLICATION_ID or found == (0,):
        raise CoachbookError(
            f"The file {path} is not a coachbook book.", "Choose the file that coachbook made."
        )
    (revision,) = connection.execute("SELECT max(version_num) FROM alembic_version").fetchone()
    if revision is None:
        raise CoachbookError(
            f"The book {path} is damaged: it has lost the number of its version.", BRING_BACK
        )
    return str(revision)

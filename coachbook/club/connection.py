"""How a connection to a book's file is made, and how an error of SQLite or the disk becomes one in words.

What works on a connection raises sqlite3.Error for faults of the file; `errors_in_words` turns that into
a CoachbookError.

`PRAGMA secure_delete` overwrites what a statement deletes; rewriting the whole file takes away
what was left by an older version, or by SQLite when it moved rows about.
"""

import errno
import os
import sqlite3
import stat
from collections.abc import Iterator
from contextlib import closing, contextmanager, suppress
from functools import cache, lru_cache
from pathlib import Path
from threading import Lock

from sqlalchemy import Connection, Engine, create_engine, event
from sqlalchemy.exc import DBAPIError
from sqlalchemy.pool import NullPool

from coachbook.club.stored import CHECKED_TYPES, DamagedValueError
from coachbook.errors import Advice, CoachbookError, Step
from coachbook.files.unfinished import SIDE_FILES

APPLICATION_ID = int.from_bytes(b"coac", "big")
"""Marks the file as a book (PRAGMA application_id), so that no other program's database is taken for one."""

WAIT_SECONDS = 30.0
"""How long a connection waits while another one writes."""

BRING_BACK = Advice(Step.RESTORE_THE_BOOK)
"""What to do with a book that is damaged."""

_BEGIN = "coachbook_begin"
_MOST_ENGINES = 8


def connect(path: Path) -> sqlite3.Connection:
    """A connection in autocommit with foreign keys on. Never creates the file.

    What it deletes is overwritten, so that a file keeps nothing of what was taken back or erased.
    """
    connection = _connect(f"{path.absolute().as_uri()}?mode=rw")
    connection.execute("PRAGMA foreign_keys = ON")
    connection.execute("PRAGMA secure_delete = ON")
    return connection


def connect_to_read(path: Path) -> sqlite3.Connection:
    """A connection to a backup that nobody uses.

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
    """
    with turn_to_write(path), closing(connect(path)) as connection:
        connection.execute("BEGIN IMMEDIATE")
        yield connection
        connection.execute("COMMIT")


def _connect(address: str) -> sqlite3.Connection:
    return sqlite3.connect(address, uri=True, timeout=WAIT_SECONDS, isolation_level=None)


@lru_cache(maxsize=_MOST_ENGINES)
def engine_of(path: Path) -> Engine:
    """An engine that opens one connection for each transaction and keeps none, so that
    nothing is left open and the book is a single file between transactions.

    A program that opens its book again and again has the same one, with the statements that it has put into
    SQL already.
    """
    engine = create_engine("sqlite://", creator=lambda: connect(path), poolclass=NullPool)
    engine.dialect.colspecs = {**engine.dialect.colspecs, **CHECKED_TYPES}
    event.listen(engine, "begin", _begin)
    return engine


@contextmanager
def turn_to_write(path: Path) -> Iterator[None]:
    """Lets the threads of one program write in a book one after the other. SQLite lets them wait, too, but by
    trying again after ever longer pauses, in which others come first.

    Whoever waits has the book open: who closes it last brings what was written together, which takes longer
    than to write it.
    """
    with closing(connect(path)) as waiting:
        waiting.execute("PRAGMA schema_version").fetchone()
        has_turn = _turn_of(path).acquire(timeout=WAIT_SECONDS)
        try:
            yield
        finally:
            if has_turn:
                _turn_of(path).release()


@cache
def _turn_of(path: Path) -> Lock:  # noqa: ARG001 - one for each
    return Lock()


@lru_cache(maxsize=_MOST_ENGINES)
def for_writing(engine: Engine) -> Engine:
    """The same engine, whose transactions take the write lock at their start: one that has
    read may then write without finding that another came between."""
    return engine.execution_options(**{_BEGIN: "BEGIN IMMEDIATE"})


def _begin(connection: Connection) -> None:
    connection.exec_driver_sql(connection.get_execution_options().get(_BEGIN, "BEGIN"))


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
        with suppress(PermissionError, FileNotFoundError):  # another transaction has just taken it away
            mode = side.stat().st_mode & 0o777
            if mode & wanted != wanted:
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


# By SQLite's primary result code (https://sqlite.org/rescode.html). Any other is our own bug.
_BY_CODE: dict[int, tuple[str, str | Advice]] = {
    sqlite3.SQLITE_BUSY: ("is in use by another program.", "Close it there, then try again."),
    sqlite3.SQLITE_CANTOPEN: ("cannot be opened.", "Check that you may read and write it and its folder."),
    sqlite3.SQLITE_CORRUPT: ("is damaged.", BRING_BACK),
    sqlite3.SQLITE_FULL: ("cannot grow: the disk is full.", "Make room, then try again."),
    sqlite3.SQLITE_IOERR: ("cannot be read or written.", "Check the disk and the room left on it."),
    sqlite3.SQLITE_NOTADB: ("is not a coachbook book.", "Choose the file that coachbook made."),
    sqlite3.SQLITE_PERM: ("may not be used by you.", "Check who owns the file."),
    sqlite3.SQLITE_READONLY: ("can only be read.", "Make the file and its folder writable for you."),
}

_OF_DAMAGE = ("Could not decode to UTF-8", "no such table", "no such column")
"""How sqlite3 complains about damaged text and lost tables, with no code of their own."""


@contextmanager
def errors_in_words(path: Path, what: str = "book") -> Iterator[None]:
    """Raises CoachbookError in place of an error of SQLite that is no bug of ours.

    It says that `path`, a book or a backup, is to blame.
    """
    try:
        yield
    except (DBAPIError, sqlite3.Error) as error:
        plain = _database_error(what, path, error.orig if isinstance(error, DBAPIError) else error)
        if plain is None:
            raise
        raise plain from error
    except DamagedValueError as error:
        raise CoachbookError(f"The {what} {path} is damaged: {error}.", BRING_BACK) from error
    except UnicodeDecodeError as error:  # what SQLite says of damage holds bytes that are no text
        raise _error_of_code(what, path, sqlite3.SQLITE_CORRUPT) from error


def _database_error(what: str, path: Path, error: BaseException | None) -> CoachbookError | None:
    code = getattr(error, "sqlite_errorcode", None)
    if code in (None, sqlite3.SQLITE_ERROR) and str(error).startswith(_OF_DAMAGE):
        code = sqlite3.SQLITE_CORRUPT
    if code is None or (code & 0xFF) not in _BY_CODE:
        return None
    return _error_of_code(what, path, code & 0xFF)


def _error_of_code(what: str, path: Path, code: int) -> CoachbookError:
    complaint, hint = _BY_CODE[code]
    return CoachbookError(f"The {what} {path} {complaint}", hint)


def check_is_file(path: Path, what: str = "book") -> None:
    """Raises CoachbookError if a book or a backup is missing, or no file: to open a pipe would wait for
    ever."""
    try:
        is_file = stat.S_ISREG(path.stat().st_mode)
    except OSError as error:
        raise disk_error(path, error, what) from error
    if not is_file:
        raise CoachbookError(
            f"{path} is not a file, so it is no {what}.", "Choose the file that coachbook made."
        )
    for side in side_files(path):
        if _stands_in_the_way(side):
            raise CoachbookError(
                f"{side} is not a file, but stands beside the {what}.", "Move it away first."
            )


def _stands_in_the_way(side: Path) -> bool:
    """Whether it is there and no file; another program may have tidied it away a moment ago."""
    try:
        return not stat.S_ISREG(side.stat().st_mode)
    except OSError:
        return False


def disk_error(path: Path, error: OSError, what: str = "book") -> CoachbookError:
    """The error for a book or a backup that could not be made or opened."""
    if error.errno != errno.ENAMETOOLONG and path.is_dir():
        return CoachbookError(f"{path} is a folder, not a {what}.", "Name a file in it.")
    if error.errno == errno.EEXIST:
        return CoachbookError(f"There is already a file {path}.", "Open it, or choose another name.")
    if error.errno == errno.ENOENT and not path.parent.is_dir():
        return CoachbookError(f"There is no folder {path.parent}.", "Make it first, or choose another.")
    if error.errno == errno.ENOENT:
        return CoachbookError(f"There is no {what} {path}.", "Create one, or check where it is.")
    reason = os.strerror(error.errno) if error.errno else str(error)
    return CoachbookError(f"The {what} {path} cannot be read or written ({reason}).", "Check its folder.")


def mark_unclean(book: sqlite3.Connection) -> None:
    """Says, within a transaction that deletes, that `clean` must follow (PRAGMA user_version)."""
    book.execute("PRAGMA user_version = 1")


def is_unclean(book: sqlite3.Connection) -> bool:
    """Whether a program was killed before it could clean the book."""
    (mark,) = book.execute("PRAGMA user_version").fetchone()
    return bool(mark)


def clean(book: sqlite3.Connection, path: Path) -> None:
    """Rewrites a book, and empties its -wal file. Raises CoachbookError if another program uses it."""
    _rewrite(book)
    (is_busy, *_) = book.execute("PRAGMA wal_checkpoint(TRUNCATE)").fetchone()
    if is_busy:
        mark_unclean(book)
        raise CoachbookError(
            f"The book {path} is in use by another program, which keeps what was erased.",
            "Close it there, then open the book again: the rest goes then.",
        )


def write_clean_copy(book: sqlite3.Connection, target: Path) -> None:
    """Writes all that a book holds into an empty file, which has none beside it, and nothing of what was
    taken away."""
    book.execute("VACUUM INTO ?", (target.absolute().as_uri(),))


def make_single_and_clean(copy: sqlite3.Connection) -> None:
    """Rewrites a copy, and leaves it without files beside it."""
    copy.execute("PRAGMA journal_mode = DELETE")
    _rewrite(copy)


def _rewrite(connection: sqlite3.Connection) -> None:
    connection.execute("PRAGMA temp_store = MEMORY")
    connection.execute("VACUUM")
    connection.execute("PRAGMA user_version = 0")

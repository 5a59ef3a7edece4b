"""What SQLite and the disk complain about, as one clear line."""

import errno
import os
import sqlite3
import stat
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from sqlalchemy.exc import DBAPIError

from coachbook.club.connection import BRING_BACK, side_files
from coachbook.club.values import DamagedValueError
from coachbook.errors import CoachbookError

# By SQLite's primary result code (https://sqlite.org/rescode.html). Any other is our own bug.
_BY_CODE = {
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
def told_plainly(path: Path, what: str = "book") -> Iterator[None]:
    """Raises CoachbookError in place of an error of SQLite that is no bug of ours.

    It says that `path`, a book or a backup, is to blame.
    """
    try:
        yield
    except (DBAPIError, sqlite3.Error) as error:
        trouble = _trouble_of_database(what, path, error.orig if isinstance(error, DBAPIError) else error)
        if trouble is None:
            raise
        raise trouble from error
    except DamagedValueError as error:
        raise CoachbookError(f"The {what} {path} is damaged: {error}.", BRING_BACK) from error
    except UnicodeDecodeError as error:  # SQLite tells, in bytes that are no text, of what is damaged
        raise _told(what, path, sqlite3.SQLITE_CORRUPT) from error


def _trouble_of_database(what: str, path: Path, error: BaseException | None) -> CoachbookError | None:
    code = getattr(error, "sqlite_errorcode", None)
    if code in (None, sqlite3.SQLITE_ERROR) and str(error).startswith(_OF_DAMAGE):
        code = sqlite3.SQLITE_CORRUPT
    if code is None or (code & 0xFF) not in _BY_CODE:
        return None
    return _told(what, path, code & 0xFF)


def _told(what: str, path: Path, code: int) -> CoachbookError:
    complaint, hint = _BY_CODE[code]
    return CoachbookError(f"The {what} {path} {complaint}", hint)


def check_is_file(path: Path, what: str = "book") -> None:
    """Raises CoachbookError if a book or a backup is missing, or no file: to open a pipe would wait for
    ever."""
    try:
        is_file = stat.S_ISREG(path.stat().st_mode)
    except OSError as error:
        raise trouble_of_disk(path, error, what) from error
    if not is_file:
        raise CoachbookError(
            f"{path} is not a file, so it is no {what}.", "Choose the file that coachbook made."
        )
    for side in side_files(path):
        if not side.is_file():
            raise CoachbookError(
                f"{side} is not a file, but stands beside the {what}.", "Move it away first."
            )


def trouble_of_disk(path: Path, error: OSError, what: str = "book") -> CoachbookError:
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

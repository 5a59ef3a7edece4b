"""Files that are written aside, and get their name when they are whole.

A program that is killed leaves its unfinished file under a hidden name
(".club.book.4711.part"), where it blocks nobody and is taken for nothing.
"""

import errno
import os
import sys
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from itertools import count
from pathlib import Path

from coachbook.club.connection import SIDE_FILES, create_private, side_files
from coachbook.errors import CoachbookError
from coachbook.files.unfinished import noted

if sys.platform != "win32":
    import fcntl

_PART = ".part"
_numbers = count(1)


@contextmanager
def written_aside(path: Path) -> Iterator[Path]:
    """A private, empty file to write in, beside `path`; gone at the end if it was not put in place.

    No other program sweeps it away meanwhile. Raises OSError.
    """
    aside = path.with_name(f".{path.name}.{os.getpid()}-{next(_numbers)}{_PART}")
    remove(aside)
    with noted(aside):
        handle = _create_in_use(aside)
        try:
            yield aside
        finally:
            remove(aside)
            os.close(handle)


def _create_in_use(aside: Path) -> int:
    """Makes the file, and locks it as long as the handle that is returned is open."""
    while True:
        create_private(aside)
        handle = os.open(aside, os.O_RDONLY)
        _lock(handle)
        if aside.exists():
            return handle
        os.close(handle)  # swept away before it was locked


def _lock(handle: int) -> bool:
    """Locks a file; whether nobody else has. Where there are no such locks, nobody has."""
    if sys.platform != "win32":
        try:
            fcntl.flock(handle, fcntl.LOCK_EX | fcntl.LOCK_NB)
        except BlockingIOError:
            return False
        except OSError:  # a file system without locks
            return True
    return True


def put_in_place(aside: Path, path: Path) -> None:
    """Gives a finished file its name, never over another file. Raises CoachbookError or OSError.

    SQLite would take what a vanished book left beside it for a part of the new one.
    """
    for side in side_files(path):
        raise CoachbookError(f"There is a file {side.name} without its book.", "Move it away first.")
    for suffix in SIDE_FILES:
        book = path.name.removesuffix(suffix)
        if book not in ("", path.name) and path.with_name(book).is_file():
            raise CoachbookError(f"{path.name} would be taken for a part of {book}.", "Choose another name.")
    try:
        os.link(aside, path)
    except FileExistsError:
        raise
    except OSError as error:  # a file system without links, as on most USB sticks
        if path.exists():
            raise FileExistsError(errno.EEXIST, os.strerror(errno.EEXIST), str(path)) from error
        aside.rename(path)
    else:
        aside.unlink()
    _sync(path.parent)


def put_over(aside: Path, path: Path) -> None:
    """Gives a finished file the name of another one, which is gone then. Raises OSError."""
    for side in side_files(path):
        side.unlink()
    aside.replace(path)
    _sync(path.parent)


def remove(path: Path) -> None:
    """Removes a database and what is beside it, if they are there. Raises OSError."""
    for each in (path, *side_files(path)):
        each.unlink(missing_ok=True)


def sweep(folder: Path, name: str = "") -> None:
    """Removes what killed programs left in a folder, of all files or of those whose name is
    `name`, or begins with it and a dot; what a program is writing stays. Raises OSError."""
    beginning = f".{name}." if name else "."
    for each in folder.iterdir():
        if each.name.startswith(beginning) and _PART in each.name and not _is_in_use(each):
            each.unlink(missing_ok=True)


def _is_in_use(part: Path) -> bool:
    """Whether a program still writes an unfinished file, or the one that this file is beside."""
    unfinished = part.with_name(part.name[: part.name.rindex(_PART)] + _PART)
    try:
        handle = os.open(unfinished, os.O_RDONLY | getattr(os, "O_NONBLOCK", 0))
    except OSError:
        return False
    try:
        return not _lock(handle)
    finally:
        os.close(handle)


def _sync(folder: Path) -> None:
    """Makes the disk keep the names in a folder, where the system offers that."""
    with suppress(OSError):
        handle = os.open(folder, os.O_RDONLY)
        try:
            os.fsync(handle)
        finally:
            os.close(handle)

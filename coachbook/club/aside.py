"""Giving a file its name once it is whole: a book, a backup or a draft, written beside its place before.

No other file is lost by it, and nothing is left there that SQLite would take for a part of it.
"""

import errno
import os
from contextlib import suppress
from pathlib import Path

from coachbook.club.connection import side_files
from coachbook.errors import CoachbookError
from coachbook.files.unfinished import SIDE_FILES


def put_in_place(unfinished: Path, path: Path) -> None:
    """Gives a finished file its name, never over another file. Raises CoachbookError if SQLite would take it
    for part of another database, or another for part of it, and OSError if there is a file of that name or
    the disk refuses.

    SQLite would take what a vanished book left beside it for a part of the new one.
    """
    for side in side_files(path):
        raise CoachbookError(f"There is a file {side.name} without its book.", "Move it away first.")
    for suffix in SIDE_FILES:
        book = path.name.removesuffix(suffix)
        if book not in ("", path.name) and path.with_name(book).is_file():
            raise CoachbookError(f"{path.name} would be taken for a part of {book}.", "Choose another name.")
    try:
        os.link(unfinished, path)
    except FileExistsError:
        raise
    except OSError as error:  # a file system without links, as on most USB sticks
        if path.exists():
            raise FileExistsError(errno.EEXIST, os.strerror(errno.EEXIST), str(path)) from error
        unfinished.rename(path)
    else:
        unfinished.unlink()
    _sync(path.parent)


def put_over(unfinished: Path, path: Path) -> None:
    """Gives a finished file the name of another one, which is gone then. Raises OSError if the disk
    refuses."""
    for side in side_files(path):
        side.unlink()
    unfinished.replace(path)
    _sync(path.parent)


def remove(path: Path) -> None:
    """Removes a database and what is beside it, if they are there. Raises OSError if one cannot be
    removed."""
    for each in (path, *side_files(path)):
        each.unlink(missing_ok=True)


def _sync(folder: Path) -> None:
    """Makes the disk keep the names in a folder, where the system offers that."""
    with suppress(OSError):
        handle = os.open(folder, os.O_RDONLY)
        try:
            os.fsync(handle)
        finally:
            os.close(handle)

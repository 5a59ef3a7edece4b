"""Books, backups and drafts that were written beside their place (`files.unfinished`) get their name when
they are whole; no other file is lost by it, and nothing that SQLite would take for a part of them is there.
"""

import errno
import os
from contextlib import suppress
from pathlib import Path

from coachbook.club.connection import SIDE_FILES, side_files
from coachbook.errors import CoachbookError


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


def _sync(folder: Path) -> None:
    """Makes the disk keep the names in a folder, where the system offers that."""
    with suppress(OSError):
        handle = os.open(folder, os.O_RDONLY)
        try:
            os.fsync(handle)
        finally:
            os.close(handle)

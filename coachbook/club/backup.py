"""Backups: verified copies of a book, each a single file that can be opened as a book.

coachbook's own stand in a private folder beside the book. A copy is written aside, checked,
compared with the book, and only then gets its name. Nobody writes in the book meanwhile.
"""

import errno
import os
import re
from contextlib import closing, suppress
from datetime import datetime
from pathlib import Path

from coachbook.club.aside import put_in_place, remove, sweep, written_aside
from coachbook.club.clean import make_single_and_clean
from coachbook.club.connection import connect, holding, make_private
from coachbook.club.soundness import check_sound, holds_the_same
from coachbook.club.trouble import told_plainly, trouble_of_disk
from coachbook.errors import CoachbookError

DAILY_KEPT = 10
"""How many of the backups that are made by themselves stay."""

_SUFFIX = ".book"
_DAILY = "-daily"


def backups_folder(path: Path) -> Path:
    """The folder of a book's own backups, whether it is there or not."""
    return path.with_name(f"{path.name}.backups")


def own_backups(path: Path) -> list[Path]:
    """Coachbook's own backups of a book, by name: those with a date come first, the oldest at the head.

    Among them are the copies that earlier versions put beside the book before an upgrade.
    """
    inside = backups_folder(path).rglob(f"*{_SUFFIX}")  # a backup that was opened may have its own
    earlier = re.compile(rf"{re.escape(path.name)}\.before-\d{{4}}(-\d+)?\.bak")
    beside = sorted(each for each in path.parent.iterdir() if earlier.fullmatch(each.name))
    return sorted(each for each in inside if each.is_file() and not each.name.startswith(".")) + beside


def back_up(path: Path, now: datetime) -> Path:
    """Makes a backup in the book's own folder, named by `now` (local time), and returns it.

    Raises CoachbookError, also if the book is damaged; then nothing is left behind.
    """
    with told_plainly(path), holding(path):
        return copy_to_own(path, stamp(now))


def back_up_daily(path: Path, now: datetime) -> Path | None:
    """Makes the backup of the day, unless there is one; only the newest DAILY_KEPT of them stay.

    Raises CoachbookError, also if the book is damaged: then none of the earlier ones goes.
    """
    if _has_daily(path, now):
        return None
    with told_plainly(path), holding(path):
        if _has_daily(path, now):  # another program was quicker
            return None
        made = copy_to_own(path, f"{stamp(now)}{_DAILY}")
        for old in _daily(path)[:-DAILY_KEPT]:
            remove(old)
        return made


def back_up_to(path: Path, target: Path) -> None:
    """Makes a backup in a new file of the coach's choice. Raises CoachbookError; then there is no file."""
    try:
        if target.exists():
            raise FileExistsError(errno.EEXIST, os.strerror(errno.EEXIST))
    except OSError as error:
        raise trouble_of_disk(target, error, "backup") from error
    with told_plainly(path), holding(path):
        _copy(path, target)


def copy_to_own(path: Path, name: str) -> Path:
    """Makes a backup of this name, or with a number after it, for one who has the book's write lock.

    Raises CoachbookError or sqlite3.Error; then nothing is left behind.
    """
    folder = backups_folder(path)
    try:
        folder.mkdir(mode=0o700, exist_ok=True)
        make_private(folder)
        sweep(folder)
        target, number = folder / f"{name}{_SUFFIX}", 1
        while target.exists():
            number += 1
            target = folder / f"{name}-{number}{_SUFFIX}"
        _copy(path, target)
    except OSError as error:
        raise trouble_of_disk(folder / name, error, "backup") from error
    finally:
        _remove_if_empty(folder)
    return target


def remove_own(backup: Path) -> None:
    """Removes one of coachbook's own backups. Raises OSError."""
    remove(backup)
    _remove_if_empty(backup.parent)


def stamp(now: datetime) -> str:
    """How the name of a backup begins: with the local time at which it was made."""
    return f"{now:%Y-%m-%d-%H%M%S}"


def _copy(path: Path, target: Path) -> None:
    try:
        with told_plainly(target, "backup"), written_aside(target) as aside:
            with closing(connect(path)) as book, closing(connect(aside)) as copy:
                book.backup(copy)
                with told_plainly(path):
                    check_sound(copy, path)
                make_single_and_clean(copy)
                with told_plainly(path):
                    is_same = holds_the_same(book, copy)
                if not is_same:
                    raise CoachbookError(f"The backup {target} is not the same as the book.", "Try again.")
            put_in_place(aside, target)
    except OSError as error:
        raise trouble_of_disk(target, error, "backup") from error


def _remove_if_empty(folder: Path) -> None:
    with suppress(OSError):
        folder.rmdir()


def _daily(path: Path) -> list[Path]:
    """The daily backups, the oldest first."""
    return sorted(backups_folder(path).glob(f"*{_DAILY}{_SUFFIX}"))


def _has_daily(path: Path, day: datetime) -> bool:
    return any(each.name.startswith(f"{day:%Y-%m-%d}-") for each in _daily(path))

"""Backups: verified copies of a book, each a single file that can be opened as a book.

coachbook's own stand in a private folder beside the book. A copy is written under a hidden name, checked,
compared with the book, and only then gets its own. Nobody writes in the book meanwhile.

A clock may be wrong: the number at the end of their names, which only grows, says in which order daily
backups were made, and their dates never do.
"""

import errno
import os
import re
from contextlib import closing, suppress
from datetime import datetime
from pathlib import Path

from coachbook.club.aside import put_in_place, remove
from coachbook.club.connection import (
    connect,
    disk_error,
    errors_in_words,
    holding,
    make_private,
    write_clean_copy,
)
from coachbook.club.soundness import check_sound, find_damaged_text, holds_the_same
from coachbook.errors import CoachbookError
from coachbook.files.unfinished import sweep_beside, written_beside

DAILY_KEPT = 10
"""How many of the backups that are made by themselves stay."""

_SUFFIX = ".book"
_DAILY = "-daily"
_OURS = re.compile(
    r"(\d{4}-\d\d-\d\d-\d{6}(-daily(-(?P<number>\d+))?|-before-[a-z]+)?|before-\d{4})(-\d+)?\.book"
)
"""The names that coachbook gives; earlier versions did not number their daily backups."""
_NAMED = re.compile(
    r"(?P<made>\d{4}-\d\d-\d\d-\d{6})?-?(?P<why>daily|before-[a-z]+|before-\d{4})?[-\d]*\.(book|bak)$"
)


def backups_folder(path: Path) -> Path:
    """The folder of a book's own backups, whether it is there or not."""
    return path.with_name(f"{path.name}.backups")


def own_backups(path: Path) -> list[Path]:
    """Coachbook's own backups of a book, by name: those with a date come first, the oldest at the head.

    Among them are the copies that earlier versions put beside the book before an upgrade. Files of
    other names are not coachbook's.
    """
    earlier = re.compile(rf"{re.escape(path.name)}\.before-\d{{4}}(-\d+)?\.bak")
    beside = sorted(each for each in path.parent.iterdir() if earlier.fullmatch(each.name))
    inside = [each for each in _files_in_backups(path) if _OURS.fullmatch(each.name)]
    return inside + [each for each in beside if each.is_file()]


def said_by_name(backup: Path) -> tuple[datetime | None, str]:
    """What the name of an own backup says: when it was made, by the clock of then, and why: "daily",
    "before-restore", "before-remove", "before-import", "before-0008" (an upgrade), or "" if it was asked
    for. The copies made before an upgrade say no time."""
    found = _NAMED.search(backup.name)
    made = None
    with suppress(TypeError, ValueError):  # no name, no time, or one that no clock shows
        made = datetime.strptime(found["made"], "%Y-%m-%d-%H%M%S") if found else None
    return made, (found["why"] or "") if found else ""


def foreign_files(path: Path) -> list[Path]:
    """What somebody else has put among a book's own backups, such as an encrypted copy."""
    ours = set(own_backups(path))
    return [each for each in _files_in_backups(path) if each not in ours]


def back_up(path: Path, now: datetime) -> Path:
    """Makes a backup in the book's own folder, named by `now` (local time), and returns it.

    Raises CoachbookError if it cannot be written or the book is damaged; then nothing is left behind.
    """
    with errors_in_words(path), holding(path):
        return copy_to_own(path, stamp(now))


def back_up_before(path: Path, what: str, now: datetime) -> Path:
    """Makes a backup before something is done, and names it so (`what` is one word, such as "import").

    Raises CoachbookError where `back_up` does.
    """
    with errors_in_words(path), holding(path):
        return copy_to_own(path, f"{stamp(now)}-before-{what}")


def back_up_daily(path: Path, now: datetime) -> Path | None:
    """Makes the backup of the day, unless there is one; only the DAILY_KEPT that were made last stay.

    Raises CoachbookError if it cannot be written or the book is damaged: then none of the earlier ones
    goes. Nor does one if the book holds a damaged sheet, for they may hold it whole.
    """
    if _has_daily(path, now):
        return None
    with errors_in_words(path), holding(path):
        if _has_daily(path, now):  # another program was quicker
            return None
        before = _daily(path)
        number = _number_of(before[-1]) + 1 if before else 1
        made = copy_to_own(path, f"{stamp(now)}{_DAILY}-{number}")
        if find_damaged_text(made) is None:
            for old in before[: 1 - DAILY_KEPT]:
                remove(old)
        return made


def back_up_to(path: Path, target: Path) -> None:
    """Makes a backup in a new file of the coach's choice. Raises CoachbookError if there is such a file
    already, it cannot be written, or the book is damaged; then no file is left."""
    try:
        if target.exists():
            raise FileExistsError(errno.EEXIST, os.strerror(errno.EEXIST))
    except OSError as error:
        raise disk_error(target, error, "backup") from error
    with errors_in_words(path), holding(path):
        _copy(path, target)


def copy_to_own(path: Path, name: str) -> Path:
    """Makes a backup of this name, or with a number after it, for one who has the book's write lock.

    Raises CoachbookError if it cannot be written or the book is damaged; then nothing is left behind.
    """
    folder = backups_folder(path)
    try:
        folder.mkdir(mode=0o700, exist_ok=True)
        make_private(folder)
        sweep_beside(folder)
        target, number = folder / f"{name}{_SUFFIX}", 1
        while target.exists():
            number += 1
            target = folder / f"{name}-{number}{_SUFFIX}"
        _copy(path, target)
    except OSError as error:
        raise disk_error(folder / name, error, "backup") from error
    finally:
        _remove_if_empty(folder)
    return target


def remove_own(backup: Path) -> None:
    """Removes one of coachbook's own backups. Raises OSError if the disk refuses."""
    remove(backup)
    _remove_if_empty(backup.parent)


def stamp(now: datetime) -> str:
    """How the name of a backup begins: with the local time at which it was made."""
    return f"{now:%Y-%m-%d-%H%M%S}"


def _copy(path: Path, target: Path) -> None:
    try:
        with errors_in_words(target, "backup"), written_beside(target) as unfinished:
            with closing(connect(path)) as book:
                with errors_in_words(path):
                    check_sound(book, path)
                write_clean_copy(book, unfinished)
                with errors_in_words(path), closing(connect(unfinished)) as copy:
                    is_same = holds_the_same(book, copy)
                if not is_same:
                    raise CoachbookError(f"The backup {target} is not the same as the book.", "Try again.")
            put_in_place(unfinished, target)
    except OSError as error:
        raise disk_error(target, error, "backup") from error


def _remove_if_empty(folder: Path) -> None:
    with suppress(OSError):
        folder.rmdir()


def _files_in_backups(path: Path) -> list[Path]:
    """A backup that was opened may have a folder of its own."""
    found = backups_folder(path).rglob("*")
    return sorted(each for each in found if each.is_file() and not each.name.startswith("."))


def _daily(path: Path) -> list[Path]:
    """The daily backups in the order in which they were made."""
    found = (each for each in backups_folder(path).glob(f"*{_DAILY}*{_SUFFIX}") if _OURS.fullmatch(each.name))
    return sorted(found, key=lambda each: (_number_of(each), each.name))


def _number_of(daily: Path) -> int:
    found = _OURS.fullmatch(daily.name)
    return int(found["number"] or 0) if found else 0


def _has_daily(path: Path, now: datetime) -> bool:
    """One that is dated later today was made while the clock was wrong."""
    today, until = f"{now:%Y-%m-%d}-", stamp(now)
    return any(each.name.startswith(today) and each.name[: len(until)] <= until for each in _daily(path))

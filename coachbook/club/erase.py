"""Erasing and renaming a student, in the book and in coachbook's own backups of it.

The backups come first and the book last, so that a program that is killed leaves the student
in the book, and can begin again. Each file is changed as a whole or not at all.
"""

import sqlite3
from collections.abc import Callable
from contextlib import closing
from dataclasses import dataclass
from functools import partial
from pathlib import Path

from coachbook.club.aside import put_over, sweep, written_aside
from coachbook.club.backup import backups_folder, foreign_files, own_backups
from coachbook.club.clean import clean, make_single_and_clean, mark_unclean
from coachbook.club.connection import connect, connect_to_read
from coachbook.club.names import clean_name, no_such
from coachbook.club.soundness import check_sound, find_fault_of_backup
from coachbook.club.traces import Taken, facts_of, find_student, give_name, names_in, take_out
from coachbook.club.trouble import told_plainly, trouble_of_disk
from coachbook.errors import CoachbookError

Change = Callable[[sqlite3.Connection], Taken]
"""What is done in one file."""

Check = Callable[[sqlite3.Connection, Path], None]
"""Raises CoachbookError if it cannot be done in a file."""


@dataclass(frozen=True, slots=True)
class Rewritten:
    """What became of a student: the name as it was kept, rows of facts that went, notes of others
    that were changed, backups that were, and damaged or foreign ones, which stay as they are."""

    student: str
    facts: int
    mentions: int
    backups: int
    damaged: tuple[Path, ...]


def erase_student(path: Path, name: str) -> Rewritten:
    """Erases a student from a book and all of its own backups, with every mention of the name.

    A student whom only a backup holds is erased, too. Raises CoachbookError if there is no
    such student, or a file cannot be used; then the student is still in the book.
    """
    return _rewrite_all(path, name, partial(take_out, name=name), _accept)


def rename_student(path: Path, old: str, new: str) -> Rewritten:
    """Gives a student another name, also in the book's own backups and in notes.

    Raises CoachbookError for an unknown student, for a name that is none or is taken (by
    another student, be it in a backup), and if a file cannot be used.
    """
    name = clean_name(new, "student")

    def check(file: sqlite3.Connection, of: Path) -> None:
        found, taken = find_student(file, old), find_student(file, name)
        if of == path and not found:
            raise no_such("student", old, names_in(file))
        # A backup that holds the new name alone was renamed before, by a program that was killed.
        if found and taken and taken != found:
            raise CoachbookError(f"There is already a student '{taken[1]}' in {of}.", "Choose another name.")

    return _rewrite_all(path, old, partial(give_name, old=old, new=name), check)


def count_facts(path: Path, name: str) -> tuple[str, int]:
    """A student's name as the book has it, and how many facts an erasure would take.

    None are counted of one whom only a backup holds. Raises CoachbookError as `erase_student`.
    """
    with told_plainly(path), closing(connect(path)) as book:
        known = _look_through(book, path, _sort(own_backups(path))[0], name, _accept)
        found = find_student(book, name)
        return known, facts_of(book, found[0]) if found else 0


def unread_files(path: Path) -> tuple[Path, ...]:
    """Files among a book's own backups that coachbook cannot read, or has not made: they may hold a name
    that is to be erased. Raises CoachbookError."""
    return (*_sort(own_backups(path))[1], *foreign_files(path))


def _rewrite_all(path: Path, name: str, change: Change, check: Check) -> Rewritten:
    with told_plainly(path), closing(connect(path)) as book:
        book.execute("BEGIN IMMEDIATE")
        _sweep(path)
        sound, damaged = _sort(own_backups(path))
        known = _look_through(book, path, sound, name, check)
        for backup in sound:
            _rewrite_backup(backup, change)
        taken = change(book)
        mark_unclean(book)
        book.execute("COMMIT")
        clean(book, path)
    return Rewritten(known, taken.facts, taken.mentions, len(sound), (*damaged, *foreign_files(path)))


def _sort(backups: list[Path]) -> tuple[list[Path], list[Path]]:
    """Sound backups, and damaged ones. Raises CoachbookError if one is in use."""
    damaged = [backup for backup in backups if find_fault_of_backup(backup)]
    return [backup for backup in backups if backup not in damaged], damaged


def _look_through(book: sqlite3.Connection, path: Path, backups: list[Path], name: str, check: Check) -> str:
    """The student's name as it is kept, if every file passes the check. Raises CoachbookError."""
    check(book, path)
    found = [find_student(book, name)]
    for backup in backups:
        with told_plainly(backup, "backup"), closing(connect_to_read(backup)) as opened:
            check(opened, backup)
            found.append(find_student(opened, name))
    known = next((student[1] for student in found if student), None)
    if known is None:
        raise no_such("student", name, names_in(book))
    return known


def _rewrite_backup(backup: Path, change: Change) -> None:
    try:
        with told_plainly(backup, "backup"), written_aside(backup) as aside:
            with closing(connect_to_read(backup)) as source, closing(connect(aside)) as copy:
                source.backup(copy)
                copy.execute("BEGIN")
                change(copy)
                copy.execute("COMMIT")
                make_single_and_clean(copy)
                check_sound(copy, backup)
            put_over(aside, backup)
    except OSError as error:
        raise trouble_of_disk(backup, error, "backup") from error


def _sweep(path: Path) -> None:
    """Removes what killed programs left of the book, and of its backups."""
    sweep(path.parent, path.name)
    if backups_folder(path).is_dir():
        sweep(backups_folder(path))


def _accept(_file: sqlite3.Connection, _path: Path) -> None:
    """Erasing is possible whatever a file holds."""

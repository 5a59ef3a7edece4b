"""Bringing back a backup: the book holds what the backup holds, and is itself kept as one before."""

import errno
import os
import sqlite3
from contextlib import closing, suppress
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path

from coachbook.club.aside import put_in_place
from coachbook.club.backup import copy_to_own, own_backups, stamp
from coachbook.club.book import bring_up_to_date, check_version
from coachbook.club.connection import (
    check_is_file,
    connect,
    connect_to_read,
    disk_error,
    errors_in_words,
    make_single_and_clean,
    open_up_side_files,
    revision_of,
)
from coachbook.club.free_text import names_in
from coachbook.club.soundness import check_sound, holds_the_same, indexes, tables
from coachbook.errors import CoachbookError
from coachbook.files.unfinished import sweep_beside, written_beside

_BEFORE = "-before-restore"
_NUMBERED = ("student", "teaching_group", "log_entry")
"""The tables whose numbers are never given again."""


@dataclass(frozen=True, slots=True)
class Restored:
    """The backup of the book as it was before (None if there was no book), students whom only the
    backup held, and those whom only the book held."""

    before: Path | None
    came_back: tuple[str, ...] = ()
    gone: tuple[str, ...] = ()


def restore(path: Path, backup: Path, now: datetime) -> Restored:
    """Gives a book the contents of a backup; if there is no book, it is made.

    `backup` is a file, or the name of one of the book's own backups. It is checked, and upgraded in a copy,
    before the book is touched. The book is first kept as a backup, and then changed in one transaction.
    Raises CoachbookError if there is no such backup, it is damaged or from a newer coachbook, or a file
    cannot be used; then the book is as it was.
    """
    try:
        if path.is_dir():
            raise IsADirectoryError(errno.EISDIR, os.strerror(errno.EISDIR))
        if path.exists():
            check_is_file(path)
            open_up_side_files(path)
        source = _find(path, backup)
        sweep_beside(path.parent, path.name)
        with written_beside(path) as unfinished:
            _read_into(unfinished, source)
            if not path.exists():
                # Unless another restore is quicker: then it is this one's turn after it.
                with suppress(FileExistsError):
                    put_in_place(unfinished, path)
                    return Restored(None)
            return _take_over(path, unfinished, now)
    except OSError as error:
        raise disk_error(path, error) from error


@dataclass(frozen=True, slots=True)
class Compared:
    """How many students, sheets and answers a backup holds, and how many the book (None if there is none);
    students whom only the backup holds, and those whom only the book holds."""

    backup: tuple[int, int, int]
    book: tuple[int, int, int] | None
    came_back: tuple[str, ...] = ()
    gone: tuple[str, ...] = ()


def compare(path: Path, backup: Path) -> Compared:
    """What a restored backup would change; nothing is kept. Raises CoachbookError where `restore` does,
    but for what only writing can show."""
    try:
        if path.exists():
            check_is_file(path)
        source = _find(path, backup)
        with written_beside(path) as unfinished:
            _read_into(unfinished, source)
            held, after = held_in(unfinished)
        if not path.exists():
            return Compared(held, None)
        before_held, before = held_in(path)
    except OSError as error:
        raise disk_error(path, error) from error
    came_back = tuple(name for name in after if name not in before)
    return Compared(held, before_held, came_back, tuple(name for name in before if name not in after))


def held_in(path: Path) -> tuple[tuple[int, int, int], list[str]]:
    """How many students, sheets and answers a book or a backup has, and the names of the students. Raises
    CoachbookError if it cannot be read."""
    with errors_in_words(path), closing(connect_to_read(path)) as book:
        revision_of(book, path)
        asked = (f"SELECT count(*) FROM {table}" for table in ("student", "sheet", "answer"))  # noqa: S608
        students, sheets, answers = (book.execute(each).fetchone()[0] for each in asked)
        return (students, sheets, answers), names_in(book)


def _find(path: Path, backup: Path) -> Path:
    own = {each.name: each for each in own_backups(path)} if path.parent.is_dir() else {}
    found = backup if backup.exists() else own.get(backup.name, backup)
    if not found.exists():
        newest = ", ".join(list(own)[-3:])
        raise CoachbookError(
            f"There is no backup {backup}.", f"The newest are {newest}." if newest else "The book has none."
        )
    if found.is_dir():
        raise CoachbookError(f"{backup} is a folder, not a backup.", "Name a file in it.")
    check_is_file(found, "backup")
    if path.exists() and found.samefile(path):
        raise CoachbookError(f"{backup} is the book itself.", "Name a backup of it.")
    return found


def _read_into(unfinished: Path, backup: Path) -> None:
    """Copies a backup, checks it, and brings it up to date. Raises CoachbookError if it is damaged or from a
    newer coachbook, and OSError if the disk refuses."""
    with errors_in_words(backup, "backup"):
        with closing(connect_to_read(backup)) as source, closing(connect(unfinished)) as copy:
            check_version(revision_of(source, backup), backup)
            source.backup(copy)
            check_sound(copy, backup)
            make_single_and_clean(copy)
        bring_up_to_date(unfinished, keep_copy=False)
        with closing(connect(unfinished)) as copy:
            check_sound(copy, backup)
            copy.execute("PRAGMA journal_mode = WAL")


def _take_over(path: Path, copy: Path, now: datetime) -> Restored:
    """Swaps the contents under one write lock, so that nothing that is logged meanwhile is lost."""
    with closing(connect(path)) as book:
        kept = _keep(book, path, copy, now)
        with errors_in_words(path):
            before = names_in(book)
            _replace_contents(book)
            after = names_in(book)
            book.execute("COMMIT")
    came_back = tuple(name for name in after if name not in before)
    return Restored(kept, came_back, tuple(name for name in before if name not in after))


def _keep(book: sqlite3.Connection, path: Path, copy: Path, now: datetime) -> Path:
    """Takes the write lock, and makes a backup of the book as it is then. Raises CoachbookError if that
    cannot be done."""
    try:
        with errors_in_words(path):
            revision_of(book, path)
            # Both have no effect, or are not allowed, within a transaction.
            book.execute("PRAGMA foreign_keys = OFF")
            book.execute("ATTACH DATABASE ? AS backup", (str(copy),))
            book.execute("BEGIN IMMEDIATE")
            return copy_to_own(path, f"{stamp(now)}{_BEFORE}")
    except CoachbookError as error:
        raise CoachbookError(
            f"The book cannot be kept as a backup first: {error.message}",
            f"Mend that, or move {path} to another folder; then try again.",
        ) from error


def _replace_contents(book: sqlite3.Connection) -> None:
    given = _highest_given(book, "main")
    for table, number in _highest_given(book, "backup").items():
        given[table] = max(number, given.get(table, 0))
    for name, _ in tables(book):
        book.execute(f'DROP TABLE "{name}"')
    for name, sql in tables(book, "backup"):
        book.execute(sql)
        book.execute(f'INSERT INTO main."{name}" SELECT * FROM backup."{name}"')  # noqa: S608 - from the schema
    for sql in indexes(book, "backup"):
        book.execute(sql)
    book.execute("DELETE FROM main.sqlite_sequence")
    book.executemany("INSERT INTO main.sqlite_sequence (name, seq) VALUES (?, ?)", given.items())
    if not holds_the_same(book, book, of="backup"):
        raise CoachbookError("The backup could not be brought back whole.", "The book is as it was.")


def _highest_given(book: sqlite3.Connection, schema: str) -> dict[str, int]:
    """By table: the highest number that was ever given in it, as far as its version tells."""
    query = f"SELECT name FROM {schema}.sqlite_master WHERE type = 'table'"  # noqa: S608 - a schema's name is ours
    there = {name for (name,) in book.execute(query)}
    counters = f"SELECT name, seq FROM {schema}.sqlite_sequence"  # noqa: S608 - the same
    found = dict(book.execute(counters)) if "sqlite_sequence" in there else {}
    for table in there.intersection(_NUMBERED):
        highest = f"SELECT coalesce(max(id), 0) FROM {schema}.{table}"  # noqa: S608 - the same
        found[table] = max(found.get(table, 0), book.execute(highest).fetchone()[0])
    return found

"""Leaving nothing of what was deleted in a file.

`PRAGMA secure_delete` overwrites what a statement deletes; rewriting the whole file takes away
what was left by an older version, or by SQLite when it moved rows about.
"""

import sqlite3
from pathlib import Path

from coachbook.errors import CoachbookError


def mark_unclean(book: sqlite3.Connection) -> None:
    """Says, within a transaction that deletes, that `clean` must follow (PRAGMA user_version)."""
    book.execute("PRAGMA user_version = 1")


def is_unclean(book: sqlite3.Connection) -> bool:
    """Whether a program was killed before it could clean the book."""
    (mark,) = book.execute("PRAGMA user_version").fetchone()
    return bool(mark)


def clean(book: sqlite3.Connection, path: Path) -> None:
    """Rewrites a book, and empties its -wal file. Raises CoachbookError or sqlite3.Error."""
    _rewrite(book)
    (is_busy, *_) = book.execute("PRAGMA wal_checkpoint(TRUNCATE)").fetchone()
    if is_busy:
        mark_unclean(book)
        raise CoachbookError(
            f"The book {path} is in use by another program, which keeps what was erased.",
            "Close it there, then open the book again: the rest goes then.",
        )


def make_single_and_clean(copy: sqlite3.Connection) -> None:
    """Rewrites a copy, and leaves it without files beside it. Raises sqlite3.Error."""
    copy.execute("PRAGMA journal_mode = DELETE")
    _rewrite(copy)


def _rewrite(connection: sqlite3.Connection) -> None:
    connection.execute("PRAGMA temp_store = MEMORY")
    connection.execute("VACUUM")
    connection.execute("PRAGMA user_version = 0")

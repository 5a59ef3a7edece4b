"""Names out of a book for somebody who waits at the keyboard: read at once, and nothing else is done."""

import sqlite3
from contextlib import closing
from enum import StrEnum
from pathlib import Path

_PATIENCE = 0.2
"""In seconds: so long may another program have the book to itself."""


class NameOf(StrEnum):
    """Whose names, and the question to the book for them."""

    GROUP = "SELECT name FROM teaching_group ORDER BY name"
    STUDENT = "SELECT name FROM student ORDER BY name"
    SHEET = "SELECT code FROM sheet ORDER BY id DESC"


def names_at_once(path: Path, what: NameOf) -> tuple[str, ...]:
    """The names in a book; none if there is no book, or it cannot be read now. Nothing is written, the book
    is neither checked nor brought up to date, and nothing is raised."""
    try:
        if not path.is_file():
            return ()
        # Beside a book that nobody uses SQLite would leave files, unless it is told that nothing changes.
        is_used = path.with_name(f"{path.name}-wal").exists()
        address = f"{path.absolute().as_uri()}?mode=ro{'' if is_used else '&immutable=1'}"
        with closing(sqlite3.connect(address, uri=True, timeout=_PATIENCE)) as book:
            return tuple(name for (name,) in book.execute(what) if isinstance(name, str))
    except (sqlite3.Error, OSError, ValueError):
        return ()

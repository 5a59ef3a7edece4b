"""A book with an evening in it, what it holds, and ways to damage a copy of it."""

import sys
from collections.abc import Callable
from datetime import datetime
from pathlib import Path

import pytest
from alembic.migration import MigrationContext
from alembic.operations import Operations
from alembic.script import ScriptDirectory

from coachbook.club.book import Book, open_book
from coachbook.club.connection import APPLICATION_ID, create_private, engine_of, for_writing
from coachbook.club.log import log_answers, log_attendance
from coachbook.club.migrate import MIGRATIONS
from coachbook.club.students import add_student, list_students
from coachbook.model.club import Attendance, ItemResult

MORNING = datetime(2026, 11, 26, 9, 5, 7)

posix_only = pytest.mark.skipif(sys.platform == "win32", reason="needs POSIX permissions")


def log_evening(book: Book, make_result: Callable[..., ItemResult], now: datetime) -> None:
    """Mina and Tom were there, and Mina answered three items."""
    with book.writing() as w:
        log_attendance(w, [Attendance(name, now.date(), present=True) for name in ("Mina", "Tom")], now)
        log_answers(w, [make_result(item=item) for item in (1, 2, 3)], now)


def names(path: Path) -> list[str]:
    """The students in a book."""
    with open_book(path).reading() as r:
        return [student.name for student in list_students(r)]


def add(book: Book, name: str) -> None:
    with book.writing() as w:
        add_student(w, name)


def files_in(folder: Path) -> list[str]:
    """Everything below a folder, by its path from there."""
    return sorted(str(path.relative_to(folder)) for path in folder.rglob("*"))


def break_page(path: Path) -> None:
    """The last page of a book is overwritten."""
    pages = bytearray(path.read_bytes())
    pages[-4096:] = b"\xaa" * 4096
    path.write_bytes(pages)


def make_first_version(path: Path, student: str) -> None:
    """A book of the first version of the schema, with one student."""
    create_private(path)
    with for_writing(engine_of(path)).begin() as connection:
        context = MigrationContext.configure(connection)
        with Operations.context(context):
            ScriptDirectory(MIGRATIONS).get_revision("0001").module.upgrade()
        context.stamp(ScriptDirectory(MIGRATIONS), "0001")
        connection.exec_driver_sql(f"PRAGMA application_id = {APPLICATION_ID}")
        connection.exec_driver_sql("INSERT INTO club VALUES (1, 'Old Club')")
        connection.exec_driver_sql("INSERT INTO student VALUES (1, ?)", (student,))

"""A book with an evening in it, what it holds, and ways to damage a copy of it."""

import sqlite3
import sys
from collections.abc import Callable, Iterator, Mapping, Sequence
from contextlib import closing, contextmanager
from datetime import datetime
from functools import cache
from pathlib import Path
from tempfile import TemporaryDirectory

import pytest
from alembic.migration import MigrationContext
from alembic.operations import Operations
from alembic.script import ScriptDirectory
from sqlalchemy import Connection

from coachbook.club.book import Book, create_book, open_book
from coachbook.club.connection import APPLICATION_ID, engine_of, for_writing
from coachbook.club.log import log_answers, log_attendance
from coachbook.club.migrate import MIGRATIONS
from coachbook.club.stored import term_plan_text
from coachbook.club.students import add_student, list_students
from coachbook.files.unfinished import create_private
from coachbook.model.facts import Attendance, ItemResult
from coachbook.model.term_plan import TermPlan

MORNING = datetime(2026, 11, 26, 9, 5, 7)

posix_only = pytest.mark.skipif(sys.platform == "win32", reason="needs POSIX permissions")


def empty_book(path: Path, club: str) -> Book:
    """As `create_book` makes it, which takes long: so it is asked once for each club, and then copied."""
    create_private(path)
    path.write_bytes(_empty_book(club))
    return open_book(path)


@cache
def _empty_book(club: str) -> bytes:
    with TemporaryDirectory() as room:
        return create_book(Path(room) / "club.book", club).path.read_bytes()


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
    with _older_book(path, "0001") as connection:
        connection.exec_driver_sql("INSERT INTO student VALUES (1, ?)", (student,))


def make_third_version(path: Path, plans: Mapping[str, Sequence[TermPlan]]) -> None:
    """A book of the third version of the schema, with the plans of groups as they were made."""
    with _older_book(path, "0003") as connection:
        for group_id, (group, made) in enumerate(plans.items(), start=1):
            connection.exec_driver_sql("INSERT INTO teaching_group VALUES (?, ?)", (group_id, group))
            for plan in made:
                connection.exec_driver_sql(
                    "INSERT INTO term_plan (group_id, body) VALUES (?, ?)", (group_id, term_plan_text(plan))
                )


def make_fifth_version(path: Path, sheets: Mapping[str, str]) -> None:
    """A book of the fifth version of the schema, with sheets by their codes, as they were stored."""
    with _older_book(path, "0005") as connection:
        for sheet_id, (code, body) in enumerate(sheets.items(), start=1):
            connection.exec_driver_sql(
                "INSERT INTO sheet (id, code, unit, made_on, body) VALUES (?, ?, ?, ?, ?)",
                (sheet_id, code, "queen-box", "2026-11-25", body),
            )


def make_seventh_version(path: Path, letters: str) -> None:
    """A book of the seventh version of the schema, whose club has letters of its own."""
    with _older_book(path, "0007") as connection:
        connection.exec_driver_sql("UPDATE club SET letters = ?", (letters,))


def make_as_of_first_version(path: Path) -> None:
    """Makes a book, or a backup, one of the first version of the schema, with what it had a place for."""
    older = path.with_name("older.book")
    with _older_book(older, "0001"):
        pass
    with closing(sqlite3.connect(older, isolation_level=None)) as book:
        book.execute("ATTACH DATABASE ? AS newer", (str(path),))
        tables = book.execute("SELECT name FROM main.sqlite_master WHERE type = 'table'").fetchall()
        for (table,) in tables:
            if table == "alembic_version" or table.startswith("sqlite_"):
                continue
            both = "SELECT name FROM pragma_table_info(?, 'main') INTERSECT"
            both += " SELECT name FROM pragma_table_info(?, 'newer')"
            columns = ", ".join(name for (name,) in book.execute(both, (table, table)))
            book.execute(f"DELETE FROM main.{table}")  # noqa: S608 - names from the schema
            book.execute(
                f"INSERT INTO main.{table} ({columns}) SELECT {columns} FROM newer.{table}"  # noqa: S608 - the same
            )
    older.replace(path)


@contextmanager
def _older_book(path: Path, revision: str) -> Iterator[Connection]:
    """A new book as an older coachbook made it, with a club and nothing else in it."""
    create_private(path)
    with for_writing(engine_of(path)).begin() as connection:
        context, steps = MigrationContext.configure(connection), ScriptDirectory(MIGRATIONS)
        with Operations.context(context):
            for step in reversed(list(steps.iterate_revisions(revision, "base"))):
                step.module.upgrade()
        context.stamp(steps, revision)
        connection.exec_driver_sql(f"PRAGMA application_id = {APPLICATION_ID}")
        connection.exec_driver_sql("INSERT INTO club (id, name) VALUES (1, 'Old Club')")
        yield connection

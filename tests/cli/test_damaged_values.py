"""Whatever a column of the book holds, a command that reads tells it in plain lines."""

import shutil
import sqlite3
import tempfile
from collections.abc import Iterator
from contextlib import closing
from pathlib import Path

import pytest

from coachbook.club.rows import Row
from tests.cli.conftest import SYLLABUS, Club
from tests.cli.drive import run

GARBAGE: tuple[object, ...] = (
    "soon",
    "2026-02-30",
    "9999-12-31",
    -7,
    2**62,
    "",
    "{}",
    '{"code":',
    b"\xff\x00",
    2.5,
)
DAY = ("--date", "2026-10-08")
READING = (
    ("club", "show"),
    ("student", "list"),
    ("student", "show", "Ana"),
    ("group", "list"),
    ("group", "show", "Owls", *DAY),
    ("sheet", "list"),
    ("sheet", "list", "--student", "Ana"),
    ("sheet", "print", "SHEET", "--to", "out"),
    ("log", "list"),
    ("log", "export", "--to", "answers.csv"),
    ("review", "--group", "Owls", *DAY),
    ("report", "family", "Ana", "--json", *DAY),
    ("report", "certificate", "Ana", "--level", "1", *DAY),
    ("report", "term", "--from", "2026-09-01", "--until", "2026-12-20", "--json"),
    ("term", "show", "--group", "Owls", *DAY),
    ("term", "export", "--group", "Owls", "--to", "term.ics"),
    ("check", *DAY),
)
SLOW = (
    ("student", "export", "Ana", "--to", "out"),
    ("evening", "prepare", "2026-10-08", "--group", "Owls", "--to", "out"),
)
COLUMNS = [(table.name, column.name) for table in Row.metadata.sorted_tables for column in table.columns]


@pytest.fixture
def busy(busy_club: Club, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[Club]:
    """A copy of the busy club, whose book may be harmed."""
    folder = tmp_path / "club"
    shutil.copytree(busy_club.folder, folder)
    book = folder / busy_club.book.name
    monkeypatch.setenv("COACHBOOK_BOOK", str(book))
    monkeypatch.setenv("COACHBOOK_SYLLABUS", str(SYLLABUS))
    monkeypatch.setattr(tempfile, "tempdir", str(tmp_path))
    monkeypatch.chdir(folder)
    yield Club(folder, book, busy_club.sheet)


def put(book: Path, table: str, column: str, value: object) -> bool:
    """Puts a value in a column of all rows, or of the first if it must not stand twice; whether it could."""
    with closing(sqlite3.connect(book)) as connection:
        for which in ("", f" WHERE {column} = (SELECT min({column}) FROM {table})"):  # noqa: S608
            try:
                with connection:
                    connection.execute("PRAGMA ignore_check_constraints = ON")
                    connection.execute(f"UPDATE {table} SET {column} = ?{which}", (value,))  # noqa: S608
            except sqlite3.IntegrityError:
                continue
            return True
    return False


def complaints(club: Club, what: str, *commands: tuple[str, ...]) -> list[str]:
    """The commands that fail in another way than with plain lines, and how."""
    told = []
    for words in commands:
        command = [club.sheet if word == "SHEET" else word for word in words]
        try:
            ran = run(*command)
        except Exception as error:
            told.append(f"{what}: {' '.join(command)}: {type(error).__name__}: {error}")
            continue
        if ran.code not in (0, 1, 2) or (ran.code == 2 and not ran.err.startswith("coachbook: ")):
            told.append(f"{what}: {' '.join(command)}: {ran}")
    return told


def test_each_of_these_commands_can_be_done_on_a_book_that_is_whole(busy: Club) -> None:
    codes = {words: run(*(busy.sheet if w == "SHEET" else w for w in words)).code for words in READING + SLOW}
    assert [words[:2] for words, code in codes.items() if code] == [("report", "certificate")]


@pytest.mark.full
@pytest.mark.parametrize(("number", "table", "column"), [(n, *each) for n, each in enumerate(COLUMNS)])
def test_a_value_that_cannot_be_is_told_in_plain_lines(
    busy: Club, number: int, table: str, column: str
) -> None:
    value = GARBAGE[number % len(GARBAGE)]
    put(busy.book, table, column, value)
    # Every third command; the next column has the others. All of them, with each value, see below.
    assert complaints(busy, f"{table}.{column} = {value!r}", *READING[number % 3 :: 3]) == []


@pytest.mark.long
@pytest.mark.parametrize(("table", "column"), COLUMNS)
def test_whatever_value_cannot_be_is_told_in_plain_lines(busy: Club, table: str, column: str) -> None:
    before, told = busy.book.read_bytes(), []
    for value in GARBAGE:
        busy.book.write_bytes(before)
        if put(busy.book, table, column, value):
            told += complaints(busy, f"{table}.{column} = {value!r}", *READING, *SLOW)
    assert told == []

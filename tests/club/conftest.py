import sqlite3
from collections.abc import Callable, Iterator
from contextlib import closing
from dataclasses import replace
from datetime import UTC, date, datetime
from pathlib import Path

import pytest

from coachbook.club.book import Book
from coachbook.club.sheets import save_worksheet
from coachbook.club.students import add_group, add_student
from coachbook.model.facts import ItemResult
from coachbook.model.position import Marks
from coachbook.model.worksheet import Exercise, Solution, Worksheet
from tests.club.copies import empty_book, log_evening
from tests.model.an_exercise import AN_EXERCISE, in_words

EVENING = date(2026, 11, 25)
NOW = datetime(2026, 11, 25, 19, 30, tzinfo=UTC)
CLUB = "Rook and Pawn Club"


@pytest.fixture
def now() -> datetime:
    return NOW


@pytest.fixture
def evening() -> date:
    return EVENING


@pytest.fixture
def book(tmp_path: Path) -> Book:
    return empty_book(tmp_path / "club.book", CLUB)


@pytest.fixture
def make_sheet() -> Callable[..., Worksheet]:
    """A worksheet with one exercise of each key."""
    return _worksheet


@pytest.fixture
def make_result() -> Callable[..., ItemResult]:
    return _result


@pytest.fixture
def dump() -> Callable[[Path], list[str]]:
    """Everything that a book holds, as SQL; but what was taken back, which counts for nothing, and which
    numbers were given, which only grow."""

    def dumped(path: Path) -> list[str]:
        with closing(sqlite3.connect(path)) as connection:
            told = connection.iterdump()
            but = ('INSERT INTO "taken_back"', 'INSERT INTO "sqlite_sequence"')
            return [line for line in told if not line.startswith(but)]

    return dumped


@pytest.fixture
def evening_book(book: Book) -> Iterator[Book]:
    """Mina and Tom in Tuesday, Noor in no group; sheet QB-1 given to Mina and Tom, RB-1 to all."""
    with book.writing() as open_book:
        add_group(open_book, "Tuesday")
        add_student(open_book, "Mina", ["Tuesday"])
        add_student(open_book, "Tom", ["Tuesday"])
        add_student(open_book, "Noor")
        save_worksheet(open_book, _worksheet("QB-1", "queen-box", ("k1", "k2", "k3")), ["Mina", "Tom"])
        save_worksheet(open_book, _worksheet("RB-1", "rook-box", ("k4", "k5")), ["Mina", "Tom", "Noor"])
    yield book


@pytest.fixture
def full_book(evening_book: Book) -> Book:
    """The same after an evening was logged."""
    log_evening(evening_book, _result, NOW)
    return evening_book


def _worksheet(
    code: str, unit: str = "queen-box", keys: tuple[str, ...] = ("k1",), made_on: date = EVENING
) -> Worksheet:
    items = tuple(_exercise(unit, key) for key in keys)
    return Worksheet(code, CLUB, unit, "The queen's box", 1, "First steps", made_on, 7, items)


def _exercise(unit: str, key: str) -> Exercise:
    said = Solution(Marks(shaded=(63,)), in_words("Qg7 is mate."))
    return replace(AN_EXERCISE, unit=unit, solution=said, difficulty=10, key=key)


def _result(
    student: str = "Mina",
    sheet: str = "QB-1",
    item: int = 1,
    *,
    unit: str = "queen-box",
    on: date = EVENING,
    written: str = "Qg7",
    slip: str = "",
) -> ItemResult:
    return ItemResult(student, sheet, unit, item, on, written, right=not slip, slip=slip)

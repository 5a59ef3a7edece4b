"""One flipped bit anywhere in the file of a book is found, or changes nothing that the book says."""

import random
import shutil
import sqlite3
from contextlib import closing
from pathlib import Path

import pytest

from coachbook.club.book import open_book
from coachbook.club.rows import Row
from coachbook.errors import CoachbookError
from coachbook.model.reading import read_date
from coachbook.workflows.checking import check_book
from tests.cli.conftest import Club


def said_by(book: Path) -> dict[str, list[str]]:
    """Every row of every table: all facts, and all that is printed."""
    with closing(sqlite3.connect(book)) as connection:
        return {
            table: sorted(map(repr, connection.execute(f"SELECT * FROM {table}")))  # noqa: S608
            for table in Row.metadata.tables
        }


def is_found(book: Path) -> bool:
    """Whether `check`, or opening the book, finds something wrong. Any other exception is a bug."""
    try:
        return bool(check_book(open_book(book), read_date("2026-10-08"), 12, lambda *_: None).findings)
    except CoachbookError:
        return True


@pytest.mark.parametrize(
    "seeds", [range(60), pytest.param(range(60, 3000), marks=pytest.mark.long)], ids=["60", "3000"]
)
def test_a_flipped_bit_is_found_or_changes_nothing(busy_club: Club, tmp_path: Path, seeds: range) -> None:
    whole, before = busy_club.book.read_bytes(), said_by(busy_club.book)
    missed, found = [], 0
    for seed in seeds:
        chance = random.Random(seed)  # noqa: S311 - where to flip is no secret
        place, bit = chance.randrange(len(whole)), chance.randrange(8)
        damaged = bytearray(whole)
        damaged[place] ^= 1 << bit
        room = tmp_path / str(seed)
        room.mkdir()
        book = room / "club.book"
        book.write_bytes(damaged)
        if is_found(book):
            found += 1
        elif said_by(book) != before:
            missed.append((seed, place, bit, bytes(whole[max(0, place - 20) : place + 20])))
        shutil.rmtree(room)
    assert missed == []
    assert found > len(seeds) / 10  # most of the rest is free room

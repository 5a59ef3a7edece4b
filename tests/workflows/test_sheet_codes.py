"""The letters before the hyphen tell the unit: no two units share them, and none looks like another."""

from collections import Counter
from dataclasses import replace
from datetime import date
from pathlib import Path
from random import Random

from hypothesis import given
from hypothesis import strategies as st

from coachbook.club.book import Book
from coachbook.model.syllabus import Syllabus
from coachbook.workflows.sheet_making import REVIEW, free_code, prefixes
from coachbook.workflows.standings import load_syllabus
from tests.club.copies import empty_book

SYLLABUS = load_syllabus()
CODES = [unit.code for unit in SYLLABUS.units]
LOOK_ALIKES = set("O0I1LU")
DAY = date(2026, 9, 10)
words = st.text(alphabet="abiklo01", min_size=1, max_size=4)
codes = st.lists(words, min_size=1, max_size=4).map("-".join)


def test_the_units_of_the_syllabus_and_the_reviews_have_prefixes_of_their_own() -> None:
    found = prefixes([*CODES, REVIEW])
    assert len(set(found.values())) == len(CODES) + 1
    assert all(2 <= len(prefix) <= 4 for prefix in found.values())
    assert not LOOK_ALIKES & set("".join(found.values()))


def test_units_with_the_same_initials_are_told_apart() -> None:
    found = prefixes(CODES)
    assert (found["king-and-pawn"], found["knight-and-pawn"]) == ("KGAP", "KTAP")
    assert (found["rook-walls"], found["rook-waiting"]) == ("RWS", "RWG")
    assert (found["queen-box"], found["opposition"]) == ("QB", "PP")


@given(st.sets(codes, min_size=1, max_size=30), st.integers(0, 99))
def test_prefixes_of_any_units_differ_whatever_their_order(units: set[str], seed: int) -> None:
    found = prefixes(units)
    assert set(found) == units
    assert max(Counter(found.values()).values()) == 1
    assert all(len(prefix) >= 2 and prefix.isalnum() and prefix.isascii() for prefix in found.values())
    assert not LOOK_ALIKES & set("".join(found.values()))
    mixed = sorted(units)
    Random(seed).shuffle(mixed)  # noqa: S311 - an order, no secret
    assert prefixes(mixed) == found


def _codes_of(book: Book, syllabus: Syllabus) -> list[str]:
    with book.reading() as page:
        return [free_code(page, syllabus, unit.code, 7, DAY, 0) for unit in syllabus.units]


def test_sheet_codes_have_the_prefixes_and_no_signs_that_look_alike(tmp_path: Path) -> None:
    book = empty_book(tmp_path / "a.book", "Club")
    made = _codes_of(book, SYLLABUS)
    assert [code.split("-")[0] for code in made] == [prefixes([*CODES, REVIEW])[unit] for unit in CODES]
    assert not LOOK_ALIKES & set("".join(made))
    assert _codes_of(book, SYLLABUS) == made


def test_a_unit_of_ones_own_with_the_same_initials_gets_letters_of_its_own(tmp_path: Path) -> None:
    book = empty_book(tmp_path / "a.book", "Club")
    level = SYLLABUS.levels[1]
    own = replace(level.units[0], code="quick-brown")
    syllabus = Syllabus(
        (*SYLLABUS.levels[:1], replace(level, units=(*level.units, own)), *SYLLABUS.levels[2:])
    )
    made = [code.split("-")[0] for code in _codes_of(book, syllabus)]
    assert len(set(made)) == len(syllabus.units)

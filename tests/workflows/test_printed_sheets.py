"""What helps with a sheet follows from its items, and from what its students had before."""

from dataclasses import replace
from datetime import date, timedelta
from pathlib import Path

import pytest

from coachbook.club.book import Book
from coachbook.club.sheets import load_worksheet
from coachbook.club.stored import opened, worksheet_from, worksheet_text
from coachbook.exercises.verify import check_exercise
from coachbook.method.methods import find_method
from coachbook.model.print_options import PaperOptions
from coachbook.model.syllabus import KindUse, Syllabus, Unit
from coachbook.model.worksheet import Worksheet
from coachbook.wording.definitions import DEFINITIONS
from coachbook.workflows.printed_sheets import example_for, make_sheets
from coachbook.workflows.sheet_making import SheetRequest
from coachbook.workflows.standings import load_syllabus
from tests.workflows.conftest import club_of

SYLLABUS = load_syllabus()
DAY = date(2026, 9, 10)
NEXT = DAY + timedelta(days=7)
ROOK_BOX, WALLS, MATES = (SYLLABUS.unit(code) for code in ("rook-box", "queen-walls", "mate-in-one"))


@pytest.fixture
def book(tmp_path: Path) -> Book:
    return club_of(tmp_path, ("Ana", "Bo"))


def sheets(
    book: Book, unit: Unit, *students: str, on: date = DAY, personal: bool = False, forms: bool = False
) -> list[Worksheet]:
    asked = SheetRequest(unit, students, 4, 1, on, personal=personal, forms=forms)
    made = make_sheets(book, SYLLABUS, asked, book.path.parent / "paper", PaperOptions())
    return [sheet for sheet, _ in made.handed_out]


def test_each_word_of_the_items_is_explained_once(book: Book) -> None:
    (sheet,) = sheets(book, WALLS, "Ana")
    assert DEFINITIONS["queens_box"] in sheet.words
    assert len(set(sheet.words)) == len(sheet.words)


def test_where_every_word_is_known_nothing_is_explained(book: Book) -> None:
    (sheet,) = sheets(book, MATES, "Ana")
    assert (sheet.words, sheet.cards) == ((), ())


def test_the_rules_to_read_are_those_of_the_card_with_their_numbers(book: Book) -> None:
    (sheet,) = sheets(book, ROOK_BOX, "Ana")
    method = find_method("rook-box")
    assert method is not None
    (card,) = sheet.cards
    assert card.title == method.title
    assert card.rules == tuple(
        (method.number_of(rule), f"{rule.name.capitalize()}: {rule.card_words}") for rule in method.told
    )
    for item in sheet.items:
        assert set(item.answer.numbers) <= {number for number, _ in card.rules}


def test_a_kind_that_is_new_has_a_verified_example_that_is_no_item(book: Book) -> None:
    (sheet,) = sheets(book, ROOK_BOX, "Ana")
    assert sheet.example is not None
    check_exercise(sheet.example)
    assert sheet.example.kind == sheet.items[0].kind
    assert sheet.example.key not in {item.key for item in sheet.items}


def test_an_example_is_shown_once_and_its_position_is_never_an_item(book: Book) -> None:
    unit = replace(MATES, kinds=(KindUse("every_mate", 1, 100),))
    (first,) = sheets(book, unit, "Ana")
    (second,) = sheets(book, unit, "Ana", on=NEXT)
    assert first.example is not None
    assert second.example is None
    assert first.example.key not in {item.key for item in second.items}


def test_on_the_same_day_a_kind_is_still_new(book: Book) -> None:
    unit = replace(MATES, kinds=(KindUse("every_mate", 1, 100),))
    first, second = (sheets(book, unit, "Ana")[0].example for _ in range(2))
    assert first is not None and second is not None
    assert first.key != second.key


def test_the_second_new_kind_has_its_example_on_the_next_sheet(book: Book) -> None:
    (first,) = sheets(book, replace(ROOK_BOX, kinds=ROOK_BOX.kinds[:1]), "Ana")
    (second,) = sheets(book, ROOK_BOX, "Ana", on=NEXT)
    assert first.example is not None and second.example is not None
    assert second.example.kind != first.example.kind


def test_a_shared_sheet_has_an_example_only_of_what_is_new_to_all(book: Book) -> None:
    unit = replace(MATES, kinds=(KindUse("every_mate", 1, 100),))
    sheets(book, unit, "Bo")
    (shared,) = sheets(book, unit, "Ana", "Bo", on=NEXT)
    assert shared.example is None
    own = sheets(book, unit, "Ana", "Bo", on=NEXT, personal=True)
    assert [sheet.example is not None for sheet in own] == [True, False]


def test_parallel_forms_share_an_example_that_is_on_neither(book: Book) -> None:
    reading = replace(ROOK_BOX, kinds=tuple(use for use in ROOK_BOX.kinds if use.kind != "finish_rule"))
    a, b = sheets(book, reading, "Ana", "Bo", forms=True)
    assert a.example is not None
    assert a.example == b.example
    assert a.example.key not in {item.key for item in (*a.items, *b.items)}
    assert a.cards == b.cards != ()


@pytest.mark.parametrize(
    "kinds", [(KindUse("every_mate", 100, 100),), (KindUse("final_position", 1, 100),)], ids=["none", "own"]
)
def test_where_the_unit_has_no_fresh_position_of_the_kind_there_is_no_example(
    book: Book, kinds: tuple[KindUse, ...]
) -> None:
    (sheet,) = sheets(book, replace(MATES, kinds=(KindUse("every_mate", 1, 100),)), "Bo")
    bare = replace(MATES, kinds=kinds, endings=("KRK",))
    levels = (replace(SYLLABUS.levels[0], units=(bare,)),)
    with book.reading() as page:
        assert example_for(page, Syllabus(levels), sheet.items, ("Ana",), DAY, 1) is None
        assert example_for(page, SYLLABUS, sheet.items, ("Ana",), DAY, 1) is not None


def test_a_sheet_keeps_what_helps_and_one_from_before_has_none(book: Book) -> None:
    (sheet,) = sheets(book, ROOK_BOX, "Ana")
    with book.reading() as page:
        assert load_worksheet(page, sheet.code) == sheet
    bare = replace(sheet, words=(), cards=(), example=None)
    text = opened(worksheet_text(bare)) or ""
    before = text.replace(',"words":[],"cards":[],"example":null', "")
    assert before != text
    assert worksheet_from(before, sheet.code) == bare

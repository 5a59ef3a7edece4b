from collections.abc import Callable
from dataclasses import replace
from datetime import date, timedelta

import pytest
from sqlmodel import col, select, update

from coachbook.club.book import Book
from coachbook.club.rows import SheetItemRow, SheetRow
from coachbook.club.sheets import (
    kinds_given,
    load_worksheet,
    save_worksheet,
    saved_sheet,
    sheets_of,
    used_keys,
)
from coachbook.errors import CoachbookError
from coachbook.model.facts import SavedSheet
from coachbook.model.worksheet import Worksheet
from tests.model.an_exercise import AN_EXERCISE

MakeSheet = Callable[..., Worksheet]


def test_a_worksheet_is_loaded_as_it_was_saved_by_its_code_in_any_case_and_with_spaces(
    evening_book: Book, make_sheet: MakeSheet
) -> None:
    with evening_book.reading() as r:
        assert load_worksheet(r, " qb- 1 ") == make_sheet("QB-1", "queen-box", ("k1", "k2", "k3"))


def test_an_unknown_code_is_told_with_the_nearest(evening_book: Book) -> None:
    with evening_book.reading() as r, pytest.raises(CoachbookError) as raised:
        load_worksheet(r, "QB-7")
    assert str(raised.value) == "There is no sheet 'QB-7'. Did you mean 'QB-1'?"


@pytest.mark.parametrize("typed", ["QB-l", "qb-i", "QB1", " q b l ", "QB\u20131"])
def test_a_sheet_is_found_by_a_code_with_look_alikes_or_another_hyphen(
    evening_book: Book, typed: str
) -> None:
    with evening_book.reading() as r:
        assert load_worksheet(r, typed).code == "QB-1"


def test_a_sheet_of_an_older_prefix_is_found_whichever_way_its_sign_is_read(
    evening_book: Book, make_sheet: MakeSheet
) -> None:
    with evening_book.writing() as w:
        save_worksheet(w, make_sheet("O-4K7M2-A"), ["Tom"])
    with evening_book.reading() as r:
        for typed in ("O-4K7M2-A", "0-4k7m2-a", "o4k7m2a"):
            assert load_worksheet(r, typed).code == "O-4K7M2-A"


def test_a_code_that_could_be_two_is_not_guessed(evening_book: Book, make_sheet: MakeSheet) -> None:
    with evening_book.writing() as w:
        save_worksheet(w, make_sheet("O-1"), [])
        save_worksheet(w, make_sheet("0-1"), [])
    with evening_book.reading() as r:
        assert load_worksheet(r, "o-1").code == "O-1"
        with pytest.raises(CoachbookError, match="no sheet 'oi'"):
            load_worksheet(r, "oi")


@pytest.mark.parametrize("code", ["", "qb-1", "QB 1", "-QB", "QB--1", "ÄB-1", "QB-1\n"])
def test_a_code_is_capitals_digits_and_hyphens(book: Book, make_sheet: MakeSheet, code: str) -> None:
    with pytest.raises(CoachbookError, match="not a sheet code"), book.writing() as w:
        save_worksheet(w, make_sheet(code), [])


def test_a_code_is_used_once(evening_book: Book, make_sheet: MakeSheet) -> None:
    with pytest.raises(CoachbookError, match="already a sheet QB-1"), evening_book.writing() as w:
        save_worksheet(w, make_sheet("QB-1"), [])


def test_a_sheet_for_an_unknown_student_is_not_saved(
    evening_book: Book, make_sheet: MakeSheet, dump: Callable[..., list[str]]
) -> None:
    before = dump(evening_book.path)
    with evening_book.writing() as w, pytest.raises(CoachbookError, match="no student 'Mona'"):
        save_worksheet(w, make_sheet("QB-2"), ["Mona"])
    assert dump(evening_book.path) == before


def test_the_book_knows_who_was_given_a_sheet(evening_book: Book, evening: date) -> None:
    with evening_book.reading() as r:
        assert saved_sheet(r, "qb-1") == SavedSheet("QB-1", "queen-box", evening, 3, ("Mina", "Tom"))


def test_the_sheets_of_a_student_come_by_date_and_code(evening_book: Book, make_sheet: MakeSheet) -> None:
    with evening_book.writing() as w:
        save_worksheet(w, make_sheet("ZZ-1", made_on=date(2026, 1, 7)), ["Noor"])
        save_worksheet(w, make_sheet("AA-1"), ["Noor"])
        save_worksheet(w, make_sheet("BB-1"), [])
    with evening_book.reading() as r:
        assert [sheet.code for sheet in sheets_of(r, "noor")] == ["ZZ-1", "AA-1", "RB-1"]
        assert [sheet.code for sheet in sheets_of(r, "Tom")] == ["QB-1", "RB-1"]


def test_used_keys_are_those_of_all_sheets_that_the_student_was_given(evening_book: Book) -> None:
    with evening_book.reading() as r:
        assert used_keys(r, "Mina") == {"k1", "k2", "k3", "k4", "k5"}
        assert used_keys(r, "noor") == {"k4", "k5"}
        with pytest.raises(CoachbookError, match="no student 'Mona'"):
            used_keys(r, "Mona")


def test_an_example_is_used_too(evening_book: Book, make_sheet: MakeSheet) -> None:
    shown = replace(AN_EXERCISE, key="shown")
    with evening_book.writing() as w:
        save_worksheet(w, replace(make_sheet("QB-2", keys=("k6",)), example=shown), ["Tom"])
    with evening_book.reading() as r:
        assert used_keys(r, "Tom") - used_keys(r, "Mina") == {"k6", "shown"}
        assert [sheet.items for sheet in sheets_of(r, "Tom") if sheet.code == "QB-2"] == [1]


def test_a_sheet_that_is_no_json_any_more_hides_no_other_key(evening_book: Book) -> None:
    with evening_book.writing() as w:
        w.session.exec(update(SheetRow).where(col(SheetRow.code) == "QB-1").values(body="{"))
    with evening_book.reading() as r:
        assert used_keys(r, "Mina") == {"k1", "k2", "k3", "k4", "k5"}


def test_kinds_given_are_those_of_items_and_examples_on_earlier_sheets_of_any_of_the_students(
    evening_book: Book, make_sheet: MakeSheet, evening: date
) -> None:
    box, key_squares = replace(AN_EXERCISE, kind="box_size"), replace(AN_EXERCISE, kind="key_squares")
    with evening_book.writing() as w:
        save_worksheet(w, replace(make_sheet("QB-2"), items=(box,), example=key_squares), ["Noor"])
    after = evening + timedelta(days=1)
    with evening_book.reading() as r:
        assert kinds_given(r, ["Tom"], after) == {AN_EXERCISE.kind}
        assert kinds_given(r, ["Tom", "Noor"], after) == {AN_EXERCISE.kind, "box_size", "key_squares"}
        assert kinds_given(r, ["Tom", "Noor"], evening) == frozenset()
        with pytest.raises(CoachbookError, match="Nora"):
            kinds_given(r, ["Nora"], after)


def test_a_sheet_may_mix_units(book: Book, make_sheet: MakeSheet) -> None:
    queen, rook = make_sheet("A-1", "queen-box").items[0], make_sheet("B-1", "rook-box").items[0]
    mixed = make_sheet("MIX-1")
    mixed = Worksheet(
        mixed.code, mixed.club, "", "Review", 1, mixed.level_title, mixed.made_on, 3, (queen, rook)
    )
    with book.writing() as w:
        save_worksheet(w, mixed, [])
        units = w.session.exec(select(SheetItemRow.item, SheetItemRow.unit)).all()
    assert sorted(units) == [(1, "queen-box"), (2, "rook-box")]


def test_a_damaged_sheet_is_told_by_its_code(evening_book: Book) -> None:
    with evening_book.writing() as w:
        w.session.exec(update(SheetRow).values(body='{"code": "QB-1"}'))
    with evening_book.reading() as r, pytest.raises(CoachbookError, match="sheet QB-1 is damaged"):
        load_worksheet(r, "QB-1")

"""Two parallel forms on an evening: who shares positions with whom, and who never does."""

from collections import Counter
from itertools import pairwise
from pathlib import Path

import pytest

from coachbook.cli.hints import in_words
from coachbook.club.book import Book
from coachbook.club.log import log_answers
from coachbook.club.sheets import load_worksheet, prepared_for, sheets_of
from coachbook.club.students import add_group, add_student
from coachbook.model.facts import ItemResult
from coachbook.model.print_options import PaperOptions
from coachbook.model.worksheet import Worksheet
from coachbook.workflows.evening_sheets import form_of
from coachbook.workflows.planning import TermWish, plan_terms
from coachbook.workflows.preparing import prepare_evening
from tests.club.copies import empty_book
from tests.workflows.foxes import NOW, START, SYLLABUS, answered, week

NAMES = ("Ana", "Ben", "Cleo", "Dev", "Elif")


@pytest.fixture
def book(tmp_path: Path) -> Book:
    made = empty_book(tmp_path / "club.book", "Hill Street")
    with made.writing() as page:
        add_group(page, "Foxes")
        for name in NAMES:
            add_student(page, name, ["Foxes"])
    plan_terms(made, SYLLABUS, ("Foxes",), TermWish(START, week(5), weekdays=(3,), minutes=60))
    return made


def prepared(book: Book, evening: int) -> dict[str, Worksheet]:
    on, folder = week(evening), book.path.parent / "papers"
    prepare_evening(book, SYLLABUS, on, (), folder, START, PaperOptions(), in_words=in_words)
    with book.reading() as page:
        return {
            name: load_worksheet(page, each.sheet) for name, each in prepared_for(page, "Foxes", on).items()
        }


def joins(book: Book, name: str) -> None:
    with book.writing() as page:
        add_student(page, name, ["Foxes"])


def keys(sheet: Worksheet, unit: str = "") -> list[str]:
    return [item.key for item in sheet.items if unit in ("", item.unit)]


def given_twice(book: Book, student: str) -> list[str]:
    """Positions that a student has had more than once, in items or examples."""
    with book.reading() as page:
        sheets = [load_worksheet(page, each.code) for each in sheets_of(page, student)]
    shown = [sheet.example.key for sheet in sheets if sheet.example is not None]
    times = Counter([*shown, *(item.key for sheet in sheets for item in sheet.items)])
    return [key for key, count in times.items() if count > 1]


def handed_in(book: Book, student: str, sheet: Worksheet, evening: int, *, right: bool) -> None:
    on, slip = week(evening), "" if right else "not tried"
    results = [
        ItemResult(student, sheet.code, item.unit, number, on, "x", right, slip)
        for number, item in enumerate(sheet.items, start=1)
    ]
    with book.writing() as page:
        log_answers(page, results, NOW)


def test_every_other_student_has_the_same_positions_and_neighbours_have_none_in_common(book: Book) -> None:
    sheets = list(prepared(book, 0).values())
    assert len({sheet.code for sheet in sheets}) == 5
    assert all(keys(one) == keys(other) for one, other in zip(sheets, sheets[2:], strict=False))
    assert not [one for one, other in pairwise(sheets) if {*keys(one)} & {*keys(other)}]


def test_both_forms_ask_the_same_kinds_of_things(book: Book) -> None:
    one, other, *_ = (Counter(item.kind for item in sheet.items) for sheet in prepared(book, 1).values())
    assert one == other


def test_no_example_shows_what_is_asked_of_somebody_else(book: Book) -> None:
    sheets = prepared(book, 0).values()
    asked = {key for sheet in sheets for key in keys(sheet)}
    assert not [sheet for sheet in sheets if sheet.example is not None and sheet.example.key in asked]


def test_who_is_to_work_on_more_has_what_the_form_has_and_fresh_positions_besides(book: Book) -> None:
    answered(book, "Cleo", "queen-walls", week(-9), "+-----")
    sheets = prepared(book, 1)
    units = {name: Counter(item.unit for item in sheet.items) for name, sheet in sheets.items()}
    assert units["Cleo"] != units["Ana"] == units["Elif"]
    for unit, count in units["Cleo"].items():
        shared = {*keys(sheets["Cleo"], unit)} & {*keys(sheets["Ana"], unit)}
        assert len(shared) == min(count, units["Ana"][unit])
    assert not {*keys(sheets["Cleo"])} & {*keys(sheets["Ben"])}


@pytest.mark.full
@pytest.mark.parametrize(
    ("name", "neighbour", "like"),
    [("Aaron", "Ana", "Ben"), ("Anton", "Ana", "Ben"), ("Zed", "Elif", "Dev")],
)
def test_who_is_added_later_joins_the_form_that_the_neighbour_does_not_have(
    book: Book, name: str, neighbour: str, like: str
) -> None:
    before = prepared(book, 0)
    joins(book, name)
    after = prepared(book, 0)
    assert {each: after[each] for each in NAMES} == before
    assert form_of(after[name]) != form_of(after[neighbour])
    assert {*keys(after[name])} == {*keys(after[like])}


@pytest.mark.full
def test_nobody_gets_a_position_again_over_a_term_with_changes(book: Book) -> None:
    for evening in range(4):
        prepared(book, evening + 1)  # too early: some of it is made anew
        if evening == 1:
            joins(book, "Bea")
        for name, sheet in prepared(book, evening).items():
            if name != "Ben":
                handed_in(book, name, sheet, evening, right=name != "Dev")
    assert [name for name in (*NAMES, "Bea") if given_twice(book, name)] == []

"""An item opened: what it asks, what is right, and what a student wrote marked at once."""

import pytest

from coachbook.club.book import Book
from coachbook.wording.exercises import answer_in_short
from coachbook.workflows.evening_grid import CellMark, ItemView, evening_rows, item_view
from tests.desk.conftest import Browser, words
from tests.workflows.foxes import START

ITEM = f"/evening/{START}/1/item/1/2"


def view(book: Book) -> ItemView:
    return item_view(book, 1, START, 1, 2, "KQRBN")


def test_an_item_shows_its_board_its_task_and_what_is_right(coach: Browser, foxes: Book) -> None:
    page, item = coach.get(ITEM), view(foxes)
    assert item.task in words(page)
    assert f"Right: {item.answer}" in words(page)
    assert 'class="board"' in page


def test_the_right_answer_is_marked_right(coach: Browser, foxes: Book) -> None:
    item = view(foxes)
    written = answer_in_short(item.exercise.answer)
    page = coach.post(ITEM, sheet=item.sheet, written=written).text
    assert view(foxes).cell.mark is CellMark.RIGHT
    assert f"Logged: {written}, right" in words(page)


def test_a_wrong_answer_is_named_at_once(coach: Browser, foxes: Book) -> None:
    page = coach.post(ITEM, sheet=view(foxes).sheet, written="blue").text
    assert "Logged: blue, wrong: unreadable" in words(page)


def test_the_coachs_own_mark_wins_over_what_was_typed(coach: Browser, foxes: Book) -> None:
    coach.post(ITEM, sheet=view(foxes).sheet, written="blue", mark="\N{CHECK MARK}")
    assert view(foxes).cell.mark is CellMark.RIGHT


def test_the_other_items_of_the_sheet_are_one_touch_away(coach: Browser, foxes: Book) -> None:
    page, count = coach.get(ITEM), len(evening_rows(foxes, 1, START)[0].cells)
    assert "item 1" in words(page)
    assert "item 3" in words(page)
    assert "item 2 →" in words(coach.get(ITEM.replace("/1/2", "/1/1")))
    assert "→" not in words(coach.get(f"/evening/{START}/1/item/1/{count}"))


@pytest.mark.parametrize("path", ["item/1/99", "item/1/0", "item/77/1"])
def test_an_item_that_is_not_there_is_named_as_such(coach: Browser, path: str) -> None:
    assert "Not done" in coach.get(f"/evening/{START}/1/{path}", status=422)


def test_a_helper_may_open_an_item(helper: Browser) -> None:
    assert "Mark it" in helper.get(ITEM)

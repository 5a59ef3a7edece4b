"""Marked answers are gathered by unit and date, whatever the order in which they come."""

from collections.abc import Sequence
from datetime import date

import pytest
from hypothesis import given
from hypothesis import strategies as st

from coachbook.errors import CoachbookError
from coachbook.model.club import ItemResult
from coachbook.model.progress import Evening
from coachbook.progress.evenings import evenings_by_unit

ONE, TWO = date(2026, 9, 10), date(2026, 9, 17)


def answer(
    item: int, on: date = ONE, *, slip: str = "", unit: str = "queen-box", sheet: str = "A-1"
) -> ItemResult:
    return ItemResult("Zoë", sheet, unit, item, on, "x", not slip, slip)


RESULTS = (
    answer(1),
    answer(2, slip="stalemate"),
    answer(1, sheet="B-1", slip="not tried"),
    answer(1, TWO),
    answer(1, unit="rook-box", slip="stalemate"),
)


def test_all_sheets_of_a_unit_on_one_date_are_one_evening_and_a_blank_counts_as_tried() -> None:
    assert evenings_by_unit(RESULTS) == {
        "queen-box": (Evening(ONE, 1, 3, ("stalemate", "not tried")), Evening(TWO, 1, 1)),
        "rook-box": (Evening(ONE, 0, 1, ("stalemate",)),),
    }


def test_no_answers_are_no_evenings() -> None:
    assert evenings_by_unit(()) == {}


@given(st.permutations(RESULTS))
def test_the_order_of_logging_does_not_matter(results: Sequence[ItemResult]) -> None:
    assert evenings_by_unit(results) == evenings_by_unit(RESULTS)


@pytest.mark.parametrize(("right", "tried"), [(1, 0), (4, 3), (-1, 3)])
def test_an_impossible_evening_is_refused(right: int, tried: int) -> None:
    with pytest.raises(CoachbookError, match="cannot be right"):
        Evening(ONE, right, tried)


def test_an_evening_without_anything_is_refused() -> None:
    with pytest.raises(CoachbookError, match="nothing happened"):
        Evening(ONE)

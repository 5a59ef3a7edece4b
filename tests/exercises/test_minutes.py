"""How many items some minutes hold: fewer of what is harder, never none, never more than a sheet has."""

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from coachbook.exercises.kinds import kind_names
from coachbook.exercises.minutes import MOST, items_for, minutes_for, minutes_of_items
from coachbook.model.syllabus import KindUse, Unit
from coachbook.workflows.sheet_making import fresh_items
from tests.shipped import UNITS

units = st.sampled_from(UNITS)
minutes = st.integers(1, 240)


@given(st.sampled_from(kind_names()), st.integers(1, 100), st.integers(1, 100))
def test_what_is_harder_takes_as_long_or_longer(kind: str, one: int, other: int) -> None:
    easier, harder = sorted((one, other))
    assert 0 < minutes_for(kind, easier) <= minutes_for(kind, harder)


@given(units, minutes, minutes)
def test_more_minutes_hold_as_many_or_more_within_what_a_sheet_may_have(
    unit: Unit, one: int, other: int
) -> None:
    fewer, more = sorted((one, other))
    assert 1 <= items_for(unit, fewer) <= items_for(unit, more) <= MOST


@pytest.mark.parametrize(
    ("kinds", "minutes", "items"),
    [
        ([KindUse("final_position", 1, 33)], 6, 6),
        ([KindUse("final_position", 67, 100)], 6, 3),
        ([KindUse("mate_in_two", 34, 66)], 10, 3),
        ([KindUse("mate_in_two", 34, 66), KindUse("final_position", 1, 33)], 6, 3),
        ([KindUse("mate_in_two", 67, 100)], 1, 1),
        ([KindUse("a_new_kind", 1, 100)], 11, 4),
        ([KindUse("box_size", 1, 33)], 240, 24),
    ],
)
def test_the_table_is_kept_to(kinds: list[KindUse], minutes: int, items: int) -> None:
    assert items_for(replace(UNITS[0], kinds=tuple(kinds)), minutes) == items


@pytest.mark.full
@pytest.mark.parametrize("unit", UNITS, ids=lambda unit: unit.code)
def test_the_items_that_are_drawn_take_about_as_long_as_is_said(unit: Unit) -> None:
    items = [item for seed in (1, 2, 3) for item in fresh_items(unit, 12, seed, frozenset())]
    taken = sum(minutes_for(item.kind, item.difficulty) for item in items)
    assert taken == pytest.approx(minutes_of_items(unit, len(items)), rel=0.25)

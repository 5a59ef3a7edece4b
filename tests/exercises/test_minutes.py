"""How many items some minutes hold: fewer of what is harder, never none, never more than a sheet has."""

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from coachbook.exercises.kinds import kind_names
from coachbook.exercises.minutes import MOST, items_for, minutes_for
from coachbook.model.syllabus import KindUse, Unit
from tests.exercises.samples import UNITS

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
        ([KindUse("final_position", 1, 33)], 6, 12),
        ([KindUse("final_position", 67, 100)], 6, 4),
        ([KindUse("mate_in_two", 34, 66)], 10, 4),
        ([KindUse("mate_in_two", 34, 66), KindUse("final_position", 1, 33)], 6, 4),
        ([KindUse("mate_in_two", 67, 100)], 1, 1),
        ([KindUse("box_size", 1, 33)], 240, 24),
    ],
)
def test_the_table_is_kept_to(kinds: list[KindUse], minutes: int, items: int) -> None:
    assert items_for(replace(UNITS[0], kinds=tuple(kinds)), minutes) == items

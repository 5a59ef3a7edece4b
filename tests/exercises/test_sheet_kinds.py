"""A sheet of a unit never asks for a rule's end where the card with the rules is printed."""

import pytest

from coachbook.exercises.generate import kinds_of_sheet, make_items
from coachbook.exercises.kinds import find_kind
from coachbook.model.syllabus import Unit
from tests.shipped import UNITS

SEEDS = range(8)


@pytest.mark.parametrize("unit", UNITS, ids=lambda unit: unit.code)
def test_no_sheet_has_kinds_that_print_the_card_and_kinds_that_ask_what_it_says(unit: Unit) -> None:
    for seed in SEEDS:
        kinds = [find_kind(use.kind) for use in kinds_of_sheet(unit, seed)]
        assert not (any(kind.reads_card for kind in kinds) and any(kind.by_heart for kind in kinds))


@pytest.mark.parametrize("unit", UNITS, ids=lambda unit: unit.code)
def test_each_kind_of_a_unit_is_on_some_of_its_sheets(unit: Unit) -> None:
    assert {use for seed in SEEDS for use in kinds_of_sheet(unit, seed)} == {*unit.kinds}


@pytest.mark.parametrize("seed", [1, 2])
def test_the_items_of_a_sheet_are_of_its_kinds(seed: int) -> None:
    (unit,) = (unit for unit in UNITS if unit.code == "queen-box")
    items = make_items(unit, 10, seed, frozenset())
    assert {item.kind for item in items} == {use.kind for use in kinds_of_sheet(unit, seed)}

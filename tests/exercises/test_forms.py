"""Forms A and B: alike item by item, and no position in common, turned or mirrored."""

from collections import Counter
from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from coachbook.exercises import generate as forms
from coachbook.exercises.generate import TOLERANCE, Forms, SupplyExhaustedError, make_forms, make_items
from coachbook.exercises.verify import check_exercise
from coachbook.model.syllabus import KindUse, Unit
from coachbook.model.worksheet import Exercise
from tests.exercises.samples import unit_with
from tests.judges.turns import Men, position_class
from tests.shipped import UNITS

BY_CODE = {unit.code: unit for unit in UNITS}
ROOK_STALEMATES = unit_with("stalemate_moves", "KRK")
TWO_KINDS = replace(
    UNITS[0], endings=("KQK", "KRK"), kinds=(KindUse("every_mate", 1, 100), KindUse("mate_in_two", 1, 100))
)
seeds = st.integers(0, 2**40)


def classes(items: tuple[Exercise, ...]) -> list[tuple[bool, Men]]:
    return [position_class(item.position.fen) for item in items]


def gaps(made: Forms) -> list[int]:
    return [abs(a.difficulty - b.difficulty) for a, b in zip(made.a, made.b, strict=True)]


def each_unit() -> list[Unit]:
    """One that has pawns, and one for each number of kinds."""
    return [BY_CODE[code] for code in ("mate-in-one", "queen-mates", "rook-box", "king-and-pawn")]


@pytest.mark.parametrize("unit", each_unit(), ids=lambda unit: str(unit.code))
@given(st.integers(1, 24), seeds)
@settings(max_examples=3)
def test_the_forms_agree_in_kind_and_difficulty_and_differ_in_every_position(
    unit: Unit, count: int, seed: int
) -> None:
    made = make_forms(unit, count, seed, frozenset())
    assert [item.kind for item in made.a] == [item.kind for item in made.b]
    assert [item.answer.form for item in made.a] == [item.answer.form for item in made.b]
    assert len(made.a) == len(made.b) == count
    assert max(gaps(made)) == made.widest <= TOLERANCE
    assert len(set(classes(made.a) + classes(made.b))) == 2 * count
    assert len({item.key for item in made.a + made.b}) == 2 * count


@given(st.integers(1, 24), seeds)
@settings(max_examples=5)
def test_a_form_has_as_many_of_each_kind_as_any_other_sheet(count: int, seed: int) -> None:
    made = make_forms(TWO_KINDS, count, seed, frozenset())
    alone = make_items(TWO_KINDS, count, seed, frozenset())
    assert Counter(item.kind for item in made.a) == Counter(item.kind for item in alone)


def test_neither_form_is_the_easier_one() -> None:
    made = make_forms(TWO_KINDS, 24, 5, frozenset())
    lead = [a.difficulty - b.difficulty for a, b in zip(made.a, made.b, strict=True)]
    assert any(each < 0 for each in lead)
    assert any(each > 0 for each in lead)
    assert abs(sum(lead)) <= len(lead)


def test_every_item_is_verified(monkeypatch: pytest.MonkeyPatch) -> None:
    checked: list[Exercise] = []

    def check(exercise: Exercise) -> None:
        check_exercise(exercise)
        checked.append(exercise)

    monkeypatch.setattr(forms, "check_exercise", check)
    made = make_forms(TWO_KINDS, 7, 1, frozenset())
    assert set(checked) == {*made.a, *made.b}


def test_the_same_seed_gives_the_same_forms_and_used_positions_stay_away() -> None:
    made = make_forms(TWO_KINDS, 6, 3, frozenset())
    assert make_forms(TWO_KINDS, 6, 3, frozenset()) == made
    used = frozenset(item.key for item in made.a + made.b)
    fresh = make_forms(TWO_KINDS, 6, 3, used)
    assert used.isdisjoint(item.key for item in fresh.a + fresh.b)


def test_a_class_gets_forms_until_the_supply_ends() -> None:
    used, rounds = frozenset[str](), 0
    with pytest.raises(SupplyExhaustedError, match="needed for two forms") as ended:
        while True:
            made = make_forms(ROOK_STALEMATES, 4, rounds, used)
            assert used.isdisjoint(item.key for item in made.a + made.b)
            used |= {item.key for item in made.a + made.b}
            rounds += 1
    left = int(ended.value.message.split()[1])
    assert left < 8 <= len(used)
    assert ended.value.hint
    assert len(make_items(ROOK_STALEMATES, left, 0, used)) == left


def pretend(patch: pytest.MonkeyPatch, difficulties: list[int]) -> None:
    """Exercises of these difficulties, drawn in this order, and no more."""
    (one,) = make_items(ROOK_STALEMATES, 1, 1, frozenset())
    drawn = [replace(one, difficulty=each, key=str(number)) for number, each in enumerate(difficulties)]
    patch.setattr(forms, "exercise_stream", lambda *_: iter(drawn))
    patch.setattr(forms, "check_exercise", lambda _: None)


@given(st.lists(st.integers(1, 100), min_size=19, max_size=65))
def test_twice_the_items_and_seventeen_more_always_give_near_pairs(difficulties: list[int]) -> None:
    with pytest.MonkeyPatch.context() as patch:
        pretend(patch, difficulties)
        assert make_forms(ROOK_STALEMATES, (len(difficulties) - 17) // 2, 1, frozenset()).widest <= TOLERANCE


@pytest.mark.parametrize(
    ("difficulties", "count", "apart"),
    [
        ([10, 30, 50, 11], 1, [1]),
        ([10, 30, 37, 50], 1, [7]),
        ([10, 90, 30, 60, 12], 2, [2, 30]),
        ([1, 100], 1, [99]),
    ],
)
def test_where_the_supply_ends_the_nearest_of_the_rest_are_paired(
    monkeypatch: pytest.MonkeyPatch, difficulties: list[int], count: int, apart: list[int]
) -> None:
    pretend(monkeypatch, difficulties)
    made = make_forms(ROOK_STALEMATES, count, 1, frozenset())
    assert sorted(gaps(made)) == apart
    assert made.widest == max(apart)


def test_positions_with_a_pawn_are_one_only_if_mirrored_from_left_to_right() -> None:
    here, mirrored, turned = "k7/8/8/8/8/2P5/8/K7 w", "7k/8/8/8/8/5P2/8/7K w", "k6K/8/5P2/8/8/8/8/8 w"
    assert position_class(here) == position_class(mirrored) != position_class(turned)
    made = make_forms(BY_CODE["king-and-pawn"], 19, 40255, frozenset())
    assert len(set(classes(made.a) + classes(made.b))) == 2 * 19

"""A sheet goes from easy to hard, and asks for different things."""

from collections import Counter
from dataclasses import replace
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from coachbook.exercises.generate import exercise_stream, make_items
from coachbook.exercises.ladder import LARGEST_FALL, as_ladder, varied
from coachbook.model.syllabus import Unit
from coachbook.model.worksheet import Exercise
from tests.exercises.samples import FIRST_USES, UNITS, USES, sample

MATES, CHOICES = (
    sample(next(use for use in USES if use.use.kind == kind), 2) for kind in ("every_mate", "final_position")
)


def item(difficulty: int, answer: str) -> Exercise:
    like = CHOICES[0]
    chosen = replace(like.answer, accepted=(answer,))
    return replace(like, difficulty=difficulty, answer=chosen, key=f"{answer}{difficulty}")


items = st.lists(
    st.builds(item, st.integers(1, 100), st.sampled_from(["mate", "stalemate", "neither"])), max_size=24
)


@given(items)
def test_a_ladder_has_all_the_items_and_never_falls_far(given_items: list[Exercise]) -> None:
    ladder = as_ladder(given_items)
    assert sorted(map(repr, ladder)) == sorted(map(repr, given_items))
    assert all(after.difficulty >= before.difficulty - LARGEST_FALL for before, after in pairwise(ladder))


@given(items)
def test_an_item_whose_answer_is_that_of_its_neighbour_had_no_other_in_reach(given: list[Exercise]) -> None:
    ladder = as_ladder(given)
    for number, (before, after) in enumerate(pairwise(ladder)):
        if before.answer.accepted == after.answer.accepted:
            left = ladder[number + 1 :]
            least = min(each.difficulty for each in left)
            reach = [each for each in left if each.difficulty <= least + LARGEST_FALL]
            assert {each.answer.accepted for each in reach} == {before.answer.accepted}


def test_two_answers_in_turn() -> None:
    ladder = as_ladder([item(20, "mate"), item(21, "mate"), item(22, "neither"), item(23, "neither")])
    assert [each.answer.accepted[0] for each in ladder] == ["mate", "neither", "mate", "neither"]


def test_of_a_choice_all_answers_come_if_they_are_near() -> None:
    stream = [
        item(number, answer) for number, answer in enumerate(["mate"] * 4 + ["neither", "stalemate"], 1)
    ]
    assert {each.answer.accepted[0] for each in varied(iter(stream), 3)} == {"mate", "neither", "stalemate"}


def test_of_other_answers_the_next_ones_are_taken() -> None:
    assert varied(iter(MATES), 2) == MATES
    assert varied(iter(MATES), 5) == MATES
    assert varied(iter(MATES), 0) == ()


@pytest.mark.parametrize("unit", UNITS, ids=lambda unit: str(unit.code))
def test_no_kind_is_more_than_half_of_a_sheet_where_there_are_three(unit: Unit) -> None:
    made = make_items(unit, 8, 3, frozenset())
    most = max(Counter(each.kind for each in made).values())
    assert most <= 4 or len(unit.kinds) < 3
    assert as_ladder(made) == made


def test_win_or_draw_is_not_always_the_same_on_a_sheet() -> None:
    use = next(use for use in FIRST_USES if use.use.kind == "win_or_draw")
    for seed in range(5):
        made = varied(exercise_stream(use.unit, use.use, seed, frozenset()), 4)
        assert Counter(each.answer.accepted for each in made).most_common(1)[0][1] <= 3

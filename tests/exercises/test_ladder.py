"""A sheet rises, few neighbours have the same answer, and nothing hangs on the order of drawing."""

from dataclasses import replace
from itertools import combinations, pairwise, permutations, product

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from coachbook.exercises.generate import kinds_of_sheet, make_forms, make_items
from coachbook.exercises.ladder import SLACK, Rung, as_ladder, pairs_as_ladder, right_of, varied
from coachbook.model.claims import ReasonIs
from coachbook.model.syllabus import Unit
from coachbook.model.worksheet import Answer, AnswerForm, Exercise
from tests.model.an_exercise import AN_EXERCISE
from tests.shipped import UNITS

ONE_OF_THREE = ("mate", "stalemate", "neither")
BY_CODE = {unit.code: unit for unit in UNITS}


def exercise(difficulty: int, answer: str, key: str = "") -> Exercise:
    return replace(
        AN_EXERCISE,
        difficulty=difficulty,
        answer=Answer(AnswerForm.NUMBER, (answer,)),
        key=key or f"{difficulty} {answer}",
    )


def choice(option: str, key: int) -> Exercise:
    answer = Answer(AnswerForm.CHOICE, (option,), options=ONE_OF_THREE)
    return replace(AN_EXERCISE, answer=answer, key=str(key))


steps = st.tuples(st.integers(1, 40), st.sampled_from("abc"))
few = st.lists(steps, min_size=1, max_size=6)
many = st.lists(steps, min_size=1, max_size=24)


def made(drawn: list[tuple[int, str]]) -> list[Exercise]:
    return [exercise(*each, key=str(number)) for number, each in enumerate(drawn)]


def rises(items: tuple[Exercise, ...]) -> bool:
    return all(
        before.difficulty <= item.difficulty + SLACK
        for number, item in enumerate(items)
        for before in items[:number]
    )


def alike(items: tuple[Exercise, ...]) -> int:
    return sum(one.answer.accepted == other.answer.accepted for one, other in pairwise(items))


@given(many)
def test_a_ladder_has_all_items_and_none_is_much_easier_than_one_before_it(
    drawn: list[tuple[int, str]],
) -> None:
    items = made(drawn)
    ladder = as_ladder(items)
    assert sorted(ladder, key=items.index) == items
    assert rises(ladder)


@given(few)
def test_no_other_ladder_has_fewer_neighbours_with_the_same_answer(drawn: list[tuple[int, str]]) -> None:
    items = made(drawn)
    assert alike(as_ladder(items)) == min(alike(other) for other in permutations(items) if rises(other))


@given(st.data(), many)
def test_the_order_in_which_items_come_makes_no_difference(
    data: st.DataObject, drawn: list[tuple[int, str]]
) -> None:
    items = made(drawn)
    assert as_ladder(data.draw(st.permutations(items))) == as_ladder(items)


@given(st.lists(st.integers(1, 100), min_size=1, max_size=24))
def test_where_all_answers_differ_the_ladder_goes_from_easy_to_hard(difficulties: list[int]) -> None:
    items = [exercise(each, str(number)) for number, each in enumerate(difficulties)]
    assert [item.difficulty for item in as_ladder(items)] == sorted(difficulties)


def test_an_item_that_is_a_little_harder_comes_between_two_with_the_same_answer() -> None:
    items = (exercise(10, "a"), exercise(11, "a"), exercise(20, "b"), exercise(40, "b"))
    assert [item.difficulty for item in as_ladder(items)] == [10, 20, 11, 40]


def test_what_is_much_harder_does_not() -> None:
    items = (exercise(10, "a"), exercise(11, "a"), exercise(22, "b"))
    assert [item.difficulty for item in as_ladder(items)] == [10, 11, 22]


def test_the_same_sign_in_another_form_of_answer_is_another_answer() -> None:
    as_squares = replace(AN_EXERCISE, answer=Answer(AnswerForm.SQUARES, ("4",)))
    assert right_of(as_squares) != right_of(exercise(1, "4"))


near_pairs = st.tuples(st.integers(1, 40), st.integers(0, 5), st.sampled_from("abc"), st.sampled_from("abc"))


def paired(drawn: list[tuple[int, int, str, str]]) -> list[Rung]:
    return [
        (exercise(low, one, f"{number} one"), exercise(low + more, other, f"{number} other"))
        for number, (low, more, one, other) in enumerate(drawn)
    ]


def form(pairs: tuple[Rung, ...], number: int) -> tuple[Exercise, ...]:
    return tuple(pair[number] for pair in pairs)


@given(st.lists(near_pairs, min_size=1, max_size=24))
def test_each_form_of_near_pairs_is_a_ladder_and_pairs_stay_together(
    drawn: list[tuple[int, int, str, str]],
) -> None:
    pairs = paired(drawn)
    ladder = pairs_as_ladder(pairs)
    assert {frozenset(pair) for pair in ladder} == {frozenset(pair) for pair in pairs}
    assert len(ladder) == len(pairs)
    assert rises(form(ladder, 0))
    assert rises(form(ladder, 1))


@given(st.lists(near_pairs, min_size=1, max_size=4))
@example([(1, 0, "a", "a"), (7, 5, "b", "b"), (7, 0, "b", "b")])
def test_no_other_order_or_turning_of_pairs_has_fewer_neighbours_alike(
    drawn: list[tuple[int, int, str, str]],
) -> None:
    def both_alike(pairs: tuple[Rung, ...]) -> int:
        return alike(form(pairs, 0)) + alike(form(pairs, 1))

    pairs = paired(drawn)
    orders = (
        tuple(pair[::way] for pair, way in zip(order, ways, strict=True))
        for order in permutations(pairs)
        for ways in product((1, -1), repeat=len(pairs))
        if all(
            max(item.difficulty for item in one) <= min(item.difficulty for item in other) + SLACK
            for number, other in enumerate(order)
            for one in order[:number]
        )
    )
    assert both_alike(pairs_as_ladder(pairs)) == min(map(both_alike, orders))


def test_the_easier_one_of_a_pair_is_in_the_one_form_and_the_other_in_turn() -> None:
    pairs = [(exercise(low, f"{low}"), exercise(low + 1, f"{low} too")) for low in (10, 20, 30, 40)]
    lead = [one.difficulty - other.difficulty for one, other in pairs_as_ladder(pairs)]
    assert lead == [-1, 1, -1, 1]


@given(st.lists(st.sampled_from(ONE_OF_THREE), max_size=40), st.integers(1, 12))
def test_variety_leaves_nothing_out_and_gives_each_option_its_share(options: list[str], count: int) -> None:
    stream = [choice(option, number) for number, option in enumerate(options)]
    found = list(varied(stream, count))
    assert sorted(found, key=stream.index) == stream
    share = -(-count // 3)
    seen = options[: 3 * count]
    if all(seen.count(option) >= share for option in ONE_OF_THREE):
        chosen = [item.answer.accepted[0] for item in found[:count]]
        assert max(map(chosen.count, ONE_OF_THREE)) <= share


@given(st.lists(st.integers(1, 6), min_size=1, max_size=30), st.integers(1, 8))
def test_an_answer_comes_twice_only_when_no_other_is_in_sight(answers: list[int], count: int) -> None:
    stream = [exercise(1, str(answer), str(number)) for number, answer in enumerate(answers)]
    chosen = [item.answer.accepted for item in list(varied(stream, count))[:count]]
    in_sight = len(set(answers[: 3 * count]))
    assert len(set(chosen)) >= min(count, in_sight, len(answers))


@pytest.mark.parametrize("unit", UNITS, ids=lambda unit: str(unit.code))
def test_a_sheet_of_any_unit_is_a_ladder_with_a_fair_share_of_each_kind(unit: Unit) -> None:
    items = make_items(unit, 8, 3, frozenset())
    assert rises(items)
    shares = [sum(item.kind == use.kind for item in items) for use in kinds_of_sheet(unit, 3)]
    assert max(shares) <= 4 or len(shares) < 3
    assert max(shares) - min(shares) <= 1


TAUGHT_IN = {
    "SQUARE": "pawn-square",
    "OPPOSITION": "opposition",
    "in_front_or_faces": "opposition",
    "KEY_SQUARE": "king-and-pawn",
    "key_square": "king-and-pawn",
    "ROOK_PAWN": "rooks-pawn",
    "SHUT_IN": "rooks-pawn",
    "corner": "rooks-pawn",
    "cut_off": "rook-against-pawn",
    "wrong_bishop": "wrong-bishop",
}
"""The unit whose lesson first has what a reason speaks of; of two parts of a name that fit, the longer."""


def reasons_on(items: tuple[Exercise, ...]) -> set[str]:
    """The names of the verdicts, and of what can be forced, that a sheet's keys give."""
    verdicts = {
        claim.reason.because.name for item in items for claim in item.claims if isinstance(claim, ReasonIs)
    }
    forced = (item.solution.text.fact("forced") for item in items)
    return verdicts | {str(each[1]) for each in forced if isinstance(each, tuple)}


def check_sheet(unit: Unit, seed: int) -> None:
    """It rises, no two items could change places to part neighbours with the same answer, and no reason
    speaks of what is taught later."""
    items = make_items(unit, 8, seed, frozenset())
    assert rises(items), seed
    for one, other in combinations(range(len(items)), 2):
        swapped = list(items)
        swapped[one], swapped[other] = items[other], items[one]
        assert alike(items) <= alike(tuple(swapped)) or not rises(tuple(swapped)), seed
    order = [each.code for each in UNITS]
    for reason in reasons_on(items):
        parts = sorted((part for part in TAUGHT_IN if part in reason), key=len)
        assert not parts or order.index(TAUGHT_IN[parts[-1]]) <= order.index(unit.code), (seed, reason)


@pytest.mark.parametrize("unit", UNITS, ids=lambda unit: str(unit.code))
def test_a_sheet_climbs_and_speaks_of_nothing_that_is_taught_later(unit: Unit) -> None:
    check_sheet(unit, 5)


@pytest.mark.long
@pytest.mark.parametrize("unit", UNITS, ids=lambda unit: str(unit.code))
def test_a_hundred_sheets_climb_and_speak_of_nothing_that_is_taught_later(unit: Unit) -> None:
    for seed in range(100):
        check_sheet(unit, seed)


def test_on_a_sheet_with_as_many_rules_as_items_hardly_two_items_ask_for_the_same_rule() -> None:
    unit = BY_CODE["rook-box"]
    for seed in range(0, 8, 2):
        items = make_items(unit, 12, seed, frozenset())
        rules = [item.answer.accepted for item in items if item.kind == "next_rule"]
        assert len(set(rules)) == len(rules) == 4
        assert alike(items) == 0


def test_parallel_forms_are_ladders_too() -> None:
    made_forms = make_forms(BY_CODE["rook-box"], 9, 1, frozenset())
    assert rises(made_forms.a)
    assert rises(made_forms.b)

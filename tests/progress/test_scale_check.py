"""The scale of difficulty is held against answers: in bands, with enough of them, and by more than chance."""

from math import isclose

import pytest
from hypothesis import given
from hypothesis import strategies as st

from coachbook.model.scale import Against, Answered, ScaleCheck
from coachbook.progress.scale_check import BY_CHANCE, FEWEST, chance_of_difference, check_scale, likely_share


def given_answers(kind: str, difficulty: int, right: int, wrong: int) -> list[Answered]:
    return [Answered(kind, difficulty, number < right) for number in range(right + wrong)]


def found_in(check: ScaleCheck) -> list[tuple[Against, str, int, int]]:
    """What is amiss, of which kind, and from where on the two bands are."""
    return [
        (each.against, each.band.kind, each.band.easiest, each.other.easiest) for each in check.disagreements
    ]


def test_nothing_was_compared_where_nothing_was_answered() -> None:
    assert check_scale([], 3) == ScaleCheck((), 3, FEWEST, 0, BY_CHANCE, ())


@pytest.mark.parametrize(
    ("difficulty", "band"), [(1, (1, 20)), (20, (1, 20)), (21, (21, 40)), (60, (41, 60)), (100, (81, 100))]
)
def test_a_band_has_twenty_points(difficulty: int, band: tuple[int, int]) -> None:
    (found,) = check_scale(given_answers("a", difficulty, 1, 0)).bands
    assert (found.easiest, found.hardest) == band


def test_bands_stand_by_kind_and_difficulty_with_their_figures() -> None:
    answers = [
        *given_answers("b", 30, 1, 1),
        *given_answers("a", 50, 0, 2),
        *given_answers("a", 5, 8, 2),
    ]
    bands = check_scale(answers).bands
    assert [(band.kind, band.easiest, band.right, band.answers) for band in bands] == [
        ("a", 1, 8, 10),
        ("a", 41, 0, 2),
        ("b", 21, 1, 2),
    ]
    assert (bands[0].low, bands[0].high) == likely_share(8, 10)
    assert bands[0].share == 0.8


def test_of_one_kind_a_harder_band_that_is_answered_better_is_told() -> None:
    check = check_scale([*given_answers("a", 10, 10, 30), *given_answers("a", 30, 30, 10)])
    assert check.comparisons == 1
    assert found_in(check) == [(Against.HIGHER_IS_EASIER, "a", 21, 1)]
    (found,) = check.disagreements
    assert (found.band.right, found.other.right) == (30, 10)
    assert found.chance == chance_of_difference(30, 40, 10, 40)


def test_a_harder_band_that_is_answered_worse_is_as_it_should_be() -> None:
    check = check_scale([*given_answers("a", 10, 40, 0), *given_answers("a", 30, 0, 40)])
    assert (check.comparisons, check.disagreements) == (1, ())


def test_every_pair_of_a_kinds_bands_is_compared_neighbours_or_not() -> None:
    answers = [each for points in (10, 30, 90) for each in given_answers("a", points, 20, 20)]
    assert check_scale(answers).comparisons == 3
    better = [*answers, *given_answers("a", 90, 60, 0)]
    assert found_in(check_scale(better)) == [
        (Against.HIGHER_IS_EASIER, "a", 81, 1),
        (Against.HIGHER_IS_EASIER, "a", 81, 21),
    ]


def test_a_kind_is_compared_with_all_others_in_its_band() -> None:
    answers = [
        *given_answers("a", 30, 36, 4),
        *given_answers("b", 30, 15, 10),
        *given_answers("c", 35, 10, 10),
        *given_answers("c", 45, 0, 40),
    ]
    check = check_scale(answers)
    assert check.comparisons == 4
    assert found_in(check) == [(Against.EASIER_THAN_OTHERS, "a", 21, 21)]
    (found,) = check.disagreements
    assert (found.other.kind, found.other.right, found.other.answers) == ("", 25, 45)
    assert found.other.hardest == 40


def test_a_kind_that_is_answered_worse_than_all_others_is_told_too() -> None:
    answers = [
        *given_answers("a", 30, 5, 35),
        *given_answers("b", 30, 20, 20),
        *given_answers("c", 30, 20, 20),
    ]
    told = found_in(check_scale(answers))
    assert told == [(Against.HARDER_THAN_OTHERS, "a", 21, 21)]


@pytest.mark.parametrize(("answers", "comparisons"), [(FEWEST - 1, 0), (FEWEST, 1)])
def test_it_takes_twenty_answers_on_either_side(answers: int, comparisons: int) -> None:
    easier = [*given_answers("a", 10, 0, answers), *given_answers("a", 30, 100, 0)]
    harder = [*given_answers("a", 10, 0, 100), *given_answers("a", 30, answers, 0)]
    for check in (check_scale(easier), check_scale(harder)):
        assert check.comparisons == len(check.disagreements) == comparisons


def test_few_answers_of_other_kinds_count_together() -> None:
    many = given_answers("a", 10, 20, 0)
    others = [each for kind in "bc" for each in given_answers(kind, 10, 0, 10)]
    assert found_in(check_scale(many + others)) == [(Against.EASIER_THAN_OTHERS, "a", 1, 1)]
    assert check_scale(many + others[:-1]).comparisons == 0


def test_a_difference_that_may_be_chance_is_not_told() -> None:
    for right, told in ((30, 0), (32, 1)):
        check = check_scale([*given_answers("a", 10, 20, 20), *given_answers("a", 30, right, 40 - right)])
        assert len(check.disagreements) == told
        assert (chance_of_difference(right, 40, 20, 40) < BY_CHANCE) == bool(told)


answered = st.builds(Answered, st.sampled_from("abc"), st.integers(1, 100), st.booleans())


@given(st.lists(answered, max_size=200))
def test_every_answer_is_in_one_band_whatever_their_order(answers: list[Answered]) -> None:
    check = check_scale(answers)
    assert sum(band.answers for band in check.bands) == len(answers)
    assert sum(band.right for band in check.bands) == sum(each.right for each in answers)
    assert check_scale(sorted(answers, key=lambda each: (each.right, each.difficulty, each.kind))) == check


@given(st.lists(answered, min_size=1, max_size=200), st.integers(5, 20))
def test_what_is_told_stays_told_with_more_answers_of_the_same(answers: list[Answered], more: int) -> None:
    assert set(found_in(check_scale(answers))) <= set(found_in(check_scale(answers * more)))


tried = st.integers(1, 400)


@st.composite
def shares(draw: st.DrawFn) -> tuple[int, int]:
    of = draw(tried)
    return draw(st.integers(0, of)), of


@pytest.mark.parametrize(
    ("right", "of", "low", "high"),
    [(8, 10, 0.490, 0.943), (81, 263, 0.2553, 0.3662), (15, 148, 0.0624, 0.1605), (1, 29, 0.0061, 0.1718)],
)
def test_the_interval_is_that_of_published_examples(right: int, of: int, low: float, high: float) -> None:
    """8 of 10 as in textbooks; the others from R. G. Newcombe, "Two-sided confidence intervals for the single
    proportion", 1998, table I, method 3 (all from memory)."""
    found = likely_share(right, of)
    assert found == pytest.approx((low, high), abs=0.0005 if of == 10 else 0.00005)


def test_none_of_twenty_may_still_be_one_in_six() -> None:
    """0 of 20, from the same table."""
    low, high = likely_share(0, 20)
    assert (low, round(high, 4)) == (0, 0.1611)


def test_without_an_answer_anything_is_likely() -> None:
    assert likely_share(0, 0) == (0, 1)


@given(shares())
def test_the_interval_holds_the_share_and_lies_within_none_and_all(share: tuple[int, int]) -> None:
    right, of = share
    low, high = likely_share(right, of)
    assert 0 <= low <= right / of + 1e-12
    assert right / of - 1e-12 <= high <= 1


@given(shares())
def test_what_is_likely_of_right_answers_is_the_mirror_of_what_is_likely_of_wrong_ones(
    share: tuple[int, int],
) -> None:
    right, of = share
    low, high = likely_share(right, of)
    assert likely_share(of - right, of) == pytest.approx((1 - high, 1 - low), abs=1e-12)


@given(shares(), st.integers(2, 9))
def test_more_answers_and_less_confidence_both_narrow_the_interval(share: tuple[int, int], more: int) -> None:
    right, of = share
    low, high = likely_share(right, of)
    narrow, wide = likely_share(right * more, of * more), likely_share(right, of, 0.99)
    assert narrow[1] - narrow[0] < high - low < wide[1] - wide[0]


@given(shares(), shares())
def test_the_chance_of_a_difference_is_that_of_chi_squared_in_a_table_of_four(
    one: tuple[int, int], other: tuple[int, int]
) -> None:
    """The square of z is Pearson's chi squared without correction (textbooks), here from its four cells."""
    chance, squared = chance_of_difference(*one, *other), chi_squared(one, other)
    assert 0 <= chance <= 1
    # Critical values of chi squared with one degree of freedom, as in any table of it.
    for critical, level in ((3.841, 0.05), (6.635, 0.01), (10.828, 0.001)):
        if not isclose(squared, critical, abs_tol=0.01):
            assert (chance < level) == (squared > critical)


def chi_squared(one: tuple[int, int], other: tuple[int, int]) -> float:
    rows = [(right, of - right) for right, of in (one, other)]
    total = sum(map(sum, rows))
    found = 0.0
    for row in rows:
        for column in (0, 1):
            expected = sum(row) * sum(each[column] for each in rows) / total
            found += (row[column] - expected) ** 2 / expected if expected else 0
    return found


@given(shares(), shares())
def test_a_difference_has_no_direction(one: tuple[int, int], other: tuple[int, int]) -> None:
    assert isclose(chance_of_difference(*one, *other), chance_of_difference(*other, *one), abs_tol=1e-12)


@pytest.mark.parametrize(("right", "of"), [(0, 20), (20, 20), (7, 20)])
def test_equal_shares_may_always_be_chance(right: int, of: int) -> None:
    assert chance_of_difference(right, of, 2 * right, 2 * of) == 1

"""Shares and their uncertainty are those that are published, and keep to what any estimate must."""

from math import isclose

import pytest
from hypothesis import given
from hypothesis import strategies as st

from coachbook.progress.shares import chance_of_difference, likely_share

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

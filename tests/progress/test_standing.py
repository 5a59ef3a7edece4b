"""New, working, secure and fading."""

from datetime import date, timedelta
from pathlib import Path

from hypothesis import given
from hypothesis import strategies as st

from coachbook.model.progress import Evening, Standing, UnitProgress
from coachbook.model.syllabus import SecureRule
from coachbook.progress.standing import is_met, standing
from coachbook.syllabus.read import read_syllabus

UNIT = read_syllabus(Path(__file__).parents[2] / "curricula").unit("queen-box")
FIRST = date(2026, 9, 10)
RULE = SecureRule(evenings=2, items=5, share=0.8)


def evening(week: int, right: int, tried: int = 6) -> Evening:
    return Evening(FIRST + timedelta(weeks=week), right, tried)


def stands(*evenings: Evening, week: int) -> UnitProgress:
    assert UNIT.secure == RULE
    return standing("Zoë", UNIT, evenings, FIRST + timedelta(weeks=week))


def test_without_an_evening_a_unit_is_new() -> None:
    assert stands(week=0) == UnitProgress("Zoë", "queen-box", Standing.NEW, (), None, None)


def test_one_good_evening_is_not_enough_to_be_secure() -> None:
    assert stands(evening(0, 6), week=0).standing is Standing.WORKING


def test_two_good_evenings_make_a_unit_secure() -> None:
    progress = stands(evening(0, 6), evening(1, 5), week=1)
    assert progress.standing is Standing.SECURE
    assert progress.recall == 1
    assert progress.due_on is not None
    assert progress.due_on > FIRST + timedelta(weeks=2)


def test_a_secure_unit_fades_on_the_day_when_it_is_due_and_not_before() -> None:
    evenings = (evening(0, 6), evening(1, 5))
    due = stands(*evenings, week=1).due_on
    assert due is not None
    assert standing("Zoë", UNIT, evenings, due - timedelta(1)).standing is Standing.SECURE
    assert standing("Zoë", UNIT, evenings, due).standing is Standing.FADING


def test_a_secure_unit_fades_at_once_on_an_evening_that_goes_badly() -> None:
    assert stands(evening(0, 6), evening(1, 6), evening(2, 2), week=2).standing is Standing.FADING


def test_a_faded_unit_is_secure_again_after_a_good_evening() -> None:
    assert (
        stands(evening(0, 6), evening(1, 6), evening(2, 2), evening(3, 6), week=3).standing is Standing.SECURE
    )


def test_evenings_with_too_few_answers_do_not_make_a_unit_secure() -> None:
    assert stands(evening(0, 4, 4), evening(1, 4, 4), evening(2, 4, 4), week=2).standing is Standing.WORKING


def test_evenings_still_to_come_are_not_looked_at() -> None:
    assert stands(evening(0, 6), evening(1, 6), week=0) == stands(evening(0, 6), week=0)


@given(st.integers(1, 20), st.integers(0, 20))
def test_exactly_the_share_asked_for_is_enough(tried: int, right: int) -> None:
    share = min(right, tried) / tried
    evenings = [Evening(FIRST, min(right, tried), tried)]
    assert is_met(SecureRule(1, 1, share), evenings)
    assert is_met(SecureRule(1, 1, 0.55), [Evening(FIRST, 11, 20)])

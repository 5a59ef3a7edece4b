"""What was earned stays earned, with its day, whatever comes after."""

from datetime import date, timedelta
from pathlib import Path

from hypothesis import given
from hypothesis import strategies as st

from coachbook.model.progress import Evening
from coachbook.model.syllabus import SecureRule
from coachbook.progress.earned import earned_level, earned_on
from coachbook.syllabus.read import read_syllabus

LEVEL = read_syllabus(Path(__file__).parents[2] / "curricula").levels[0]
FIRST = date(2027, 1, 12)
WEEK = timedelta(weeks=1)
courses = st.lists(st.tuples(st.integers(1, 60), st.integers(0, 6)), max_size=8)


def evenings_of(course: list[tuple[int, int]]) -> list[Evening]:
    days = [FIRST + timedelta(sum(gap for gap, _ in course[:number])) for number in range(len(course))]
    return [Evening(day, right, 6) for day, (_, right) in zip(days, course, strict=True)]


@given(st.lists(courses, min_size=len(LEVEL.units), max_size=len(LEVEL.units)), *[st.integers(0, 400)] * 2)
def test_what_is_earned_on_a_day_is_earned_on_every_later_day_with_the_same_date(
    lessons: list[list[tuple[int, int]]], some: int, more: int
) -> None:
    seen = {unit.code: evenings_of(course) for unit, course in zip(LEVEL.units, lessons, strict=True)}
    day = FIRST + timedelta(some)
    then = earned_level("Zoë", LEVEL, seen, day)
    later = earned_level("Zoë", LEVEL, seen, day + timedelta(more))
    for unit, after in zip(then.units, later.units, strict=True):
        assert unit.on is None or unit.on == after.on
        assert (unit.on is None) == bool(unit.missing)
        assert unit.on is None or unit.on <= day


@given(courses)
def test_a_unit_is_earned_on_an_evening_and_not_before_it(course: list[tuple[int, int]]) -> None:
    rule, evenings = SecureRule(2, 5, 0.8), evenings_of(course)
    day = earned_on(rule, evenings)
    good = [evening.on for evening in evenings if evening.right >= 5]
    assert day == (good[1] if len(good) > 1 else None)
    assert earned_on(rule, reversed(evenings)) == day


def test_a_unit_that_is_forgotten_is_to_be_brought_back_and_stays_earned() -> None:
    unit = LEVEL.units[0]
    seen = [Evening(FIRST, 6, 6), Evening(FIRST + WEEK, 6, 6), Evening(FIRST + 2 * WEEK, 0, 6)]
    (first, *others) = earned_level("Zoë", LEVEL, {unit.code: seen}, FIRST + 2 * WEEK).units
    assert (first.on, first.is_due, first.missing) == (FIRST + WEEK, True, ())
    assert all(other.on is None and other.missing and not other.is_due for other in others)

"""New, working, secure and fading."""

from dataclasses import replace
from datetime import date, timedelta
from pathlib import Path

from hypothesis import given
from hypothesis import strategies as st

from coachbook.model.facts import Impression, Observation, PlayOutEnd, PlayOutResult
from coachbook.model.progress import Evening, Missing, Standing, Still, UnitProgress
from coachbook.model.syllabus import Goal, SecureRule
from coachbook.progress.standing import earned_level, earned_on, is_sure, standing, what_is_missing
from coachbook.syllabus.read import read_syllabus
from coachbook.wording.people import missing_in_words

UNIT = read_syllabus(Path(__file__).parents[2] / "curricula").unit("queen-box")
FIRST = date(2026, 9, 10)
WEEK = timedelta(weeks=1)
RULE = SecureRule(evenings=2, items=5, share=0.8, play_outs=1)
WON = PlayOutResult(
    "Zoë", UNIT.code, FIRST, "8/8/8/4k3/8/8/2Q5/K7 w - - 0 1", Goal.WIN, 16, PlayOutEnd.MATE, 14
)


def evening(week: int, right: int, tried: int = 6, *, played: bool = True) -> Evening:
    return Evening(FIRST + timedelta(weeks=week), right, tried, play_outs=(WON,) if played else ())


def stands(*evenings: Evening, week: int) -> UnitProgress:
    assert UNIT.secure == RULE
    return standing("Zoë", UNIT, evenings, FIRST + timedelta(weeks=week))


def test_without_an_evening_a_unit_is_new() -> None:
    assert stands(week=0) == UnitProgress(
        "Zoë",
        "queen-box",
        Standing.NEW,
        (),
        None,
        None,
        (Missing(Still.GOOD_EVENINGS, 2, 0, 5, 0.8), Missing(Still.PLAY_OUTS, 1, 0)),
    )


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


def test_evenings_with_too_few_right_answers_do_not_make_a_unit_secure() -> None:
    assert stands(evening(0, 4), evening(1, 4), evening(2, 4), week=2).standing is Standing.WORKING


def test_who_wants_more_recall_has_the_unit_due_earlier() -> None:
    evenings = (evening(0, 6), evening(1, 5))
    usual, strict = (standing("Zoë", UNIT, evenings, FIRST + WEEK, target).due_on for target in (0.9, 0.97))
    assert usual is not None
    assert strict is not None
    assert strict < usual
    assert standing("Zoë", UNIT, evenings, strict, 0.97).standing is Standing.FADING
    assert standing("Zoë", UNIT, evenings, strict).standing is Standing.SECURE


def test_evenings_still_to_come_are_not_looked_at() -> None:
    assert stands(evening(0, 6), evening(1, 6), week=0) == stands(evening(0, 6), week=0)


@given(st.integers(1, 20), st.integers(0, 20))
def test_exactly_the_share_asked_for_is_enough(tried: int, right: int) -> None:
    share = min(right, tried) / tried
    evenings = [Evening(FIRST, min(right, tried), tried)]
    assert not what_is_missing(SecureRule(1, 1, share), evenings)
    assert not what_is_missing(SecureRule(1, 1, 0.55), [Evening(FIRST, 11, 20)])


def test_without_a_play_out_in_time_a_unit_is_not_secure() -> None:
    late = replace(WON, used=17)
    evenings = [evening(0, 6, played=False), evening(1, 6, played=False)]
    assert stands(*evenings, week=1).standing is Standing.WORKING
    assert stands(*evenings, week=1).missing == (Missing(Still.PLAY_OUTS, 1, 0),)
    assert stands(*evenings, Evening(FIRST + WEEK * 2, play_outs=(late,)), week=2).missing
    assert stands(*evenings, Evening(FIRST + WEEK * 2, play_outs=(late, WON)), week=2).missing == ()


def test_a_play_out_that_fails_makes_a_secure_unit_fade() -> None:
    lost = Evening(FIRST + WEEK * 2, play_outs=(replace(WON, end=PlayOutEnd.STALEMATE),))
    assert stands(evening(0, 6), evening(1, 6), lost, week=2).standing is Standing.FADING


def test_a_play_out_that_stopped_before_its_end_changes_nothing_but_is_kept_as_evidence() -> None:
    stopped = Evening(FIRST + WEEK * 2, play_outs=(replace(WON, end=PlayOutEnd.STOPPED),))
    before = (evening(0, 6), evening(1, 6))
    with_it, without = stands(*before, stopped, week=3), stands(*before, week=3)
    assert replace(with_it, evenings=without.evenings) == without
    assert with_it.evenings[-1] == stopped
    assert stands(stopped, week=3).standing is Standing.NEW


def test_a_play_out_that_was_given_up_or_of_an_old_book_not_finished_makes_a_unit_fade() -> None:
    for end in (PlayOutEnd.GAVE_UP, PlayOutEnd.UNFINISHED):
        missed = Evening(FIRST + WEEK * 2, play_outs=(replace(WON, end=end),))
        assert stands(evening(0, 6), evening(1, 6), missed, week=2).standing is Standing.FADING


def test_a_note_without_an_impression_changes_nothing_but_is_kept_as_evidence() -> None:
    note = Evening(FIRST + WEEK * 2, observations=(Observation("Zoë", UNIT.code, FIRST, "was tired"),))
    with_note = stands(evening(0, 6), evening(1, 6), note, week=3)
    without = stands(evening(0, 6), evening(1, 6), week=3)
    assert replace(with_note, evenings=without.evenings) == without
    assert with_note.evenings[-1] == note


def missing(rule: SecureRule, evenings: list[Evening]) -> list[str]:
    return list(map(missing_in_words, what_is_missing(rule, evenings)))


def test_what_is_missing_counts_what_is_there_already() -> None:
    good = [Evening(FIRST + WEEK * n, 5, 5) for n in range(3)]
    won = Evening(FIRST, play_outs=(WON,))
    asked = "5 items or more, 80% right"
    assert missing(SecureRule(2, 5, 0.8), good[:1]) == [f"one more good evening (1 of 2; {asked})"]
    assert missing(SecureRule(4, 5, 0.8), good[:2]) == [f"2 more good evenings (2 of 4; {asked})"]
    assert missing(SecureRule(1, 5, 0.8), []) == [f"a good evening ({asked})"]
    rule = SecureRule(1, 5, 0.8, play_outs=2)
    assert missing(rule, [*good, won]) == ["one more play-out within the allowance (1 of 2)"]


def test_what_the_coach_saw_never_makes_a_unit_secure_but_keeps_it_fresh() -> None:
    seen = Observation("Zoë", UNIT.code, FIRST, "explained it to a neighbour", Impression.CAN)
    later = Evening(FIRST + WEEK * 4, observations=(seen,))
    assert stands(*(Evening(FIRST + WEEK * n, observations=(seen,)) for n in range(9)), week=8).missing
    fresh = stands(evening(0, 6), evening(1, 6), later, week=4)
    stale = stands(evening(0, 6), evening(1, 6), week=4)
    assert fresh.due_on is not None
    assert stale.due_on is not None
    assert fresh.due_on > stale.due_on


def test_two_evenings_with_ten_answers_or_a_play_out_are_enough_to_be_sure() -> None:
    assert not is_sure([evening(0, 12, 12)])
    assert not is_sure([evening(0, 4, 4, played=False), evening(1, 5, 5, played=False)])
    assert is_sure([evening(0, 5, 5, played=False), evening(1, 5, 5, played=False)])
    assert is_sure([evening(0, 1, 1), evening(1, 1, 1, played=False)])


def test_notes_without_an_impression_make_nothing_sure() -> None:
    notes = [
        Evening(FIRST + WEEK * n, observations=(Observation("Zoë", UNIT.code, FIRST, "was tired"),))
        for n in range(1, 3)
    ]
    assert not is_sure([evening(0, 12, 12), *notes])


LEVEL = read_syllabus(Path(__file__).parents[2] / "curricula").levels[0]
FIRST_EARNED = date(2027, 1, 12)
courses = st.lists(st.tuples(st.integers(1, 60), st.integers(0, 6)), max_size=8)


def evenings_of(course: list[tuple[int, int]]) -> list[Evening]:
    days = [FIRST_EARNED + timedelta(sum(gap for gap, _ in course[:number])) for number in range(len(course))]
    return [Evening(day, right, 6) for day, (_, right) in zip(days, course, strict=True)]


@given(st.lists(courses, min_size=len(LEVEL.units), max_size=len(LEVEL.units)), *[st.integers(0, 400)] * 2)
def test_what_is_earned_on_a_day_is_earned_on_every_later_day_with_the_same_date(
    lessons: list[list[tuple[int, int]]], some: int, more: int
) -> None:
    seen = {unit.code: evenings_of(course) for unit, course in zip(LEVEL.units, lessons, strict=True)}
    day = FIRST_EARNED + timedelta(some)
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
    seen = [
        Evening(FIRST_EARNED, 6, 6),
        Evening(FIRST_EARNED + WEEK, 6, 6),
        Evening(FIRST_EARNED + 2 * WEEK, 0, 6),
    ]
    (first, *others) = earned_level("Zoë", LEVEL, {unit.code: seen}, FIRST_EARNED + 2 * WEEK).units
    assert (first.on, first.is_due, first.missing) == (FIRST_EARNED + WEEK, True, ())
    assert all(other.on is None and other.missing and not other.is_due for other in others)

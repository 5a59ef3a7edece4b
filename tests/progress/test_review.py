"""Memory follows the model of the package `fsrs`, and better evenings never hurt.

Authority: the package `fsrs` 6.3.2, its scheduler run by hand on the same dates.
"""

from dataclasses import replace
from datetime import UTC, date, datetime, timedelta
from random import Random

import pytest
from fsrs import Card, Rating, Scheduler
from hypothesis import assume, given
from hypothesis import strategies as st

from coachbook.errors import CoachbookError
from coachbook.model.facts import Impression, Observation, PlayOutEnd, PlayOutResult
from coachbook.model.progress import Evening, Went
from coachbook.model.syllabus import Goal
from coachbook.progress.review import TARGET, due_on, how_it_went, is_due, recall_on, remember

FIRST = date(2026, 9, 10)
AGAIN, HARD, GOOD, EASY = (1, 6), (4, 6), (5, 6), (6, 6)
marks = st.sampled_from(range(7))


@st.composite
def courses(draw: st.DrawFn) -> list[Evening]:
    """One to eight evenings with six answers each, on rising dates."""
    gaps = draw(st.lists(st.integers(1, 400), max_size=7))
    days = [sum(gaps[:number]) for number in range(len(gaps) + 1)]
    return [Evening(FIRST + timedelta(each), draw(marks), 6) for each in days]


def due_after(evenings: list[Evening], target: float = TARGET) -> date:
    memory = remember(evenings)
    assert memory is not None
    return due_on(memory, target)


def by_hand(ratings: list[Rating], days: list[int]) -> Card:
    scheduler = Scheduler(desired_retention=0.9, learning_steps=(), relearning_steps=(), enable_fuzzing=False)
    start = datetime(2026, 9, 10, 12, tzinfo=UTC)
    card = Card(card_id=1, due=start)
    for rating, day in zip(ratings, days, strict=True):
        card, _ = scheduler.review_card(card, rating, start + timedelta(day))
    return card


@pytest.mark.parametrize(
    ("scores", "ratings"),
    [
        ([GOOD], [Rating.Good]),
        ([AGAIN], [Rating.Again]),
        ([HARD, EASY], [Rating.Hard, Rating.Easy]),
        ([GOOD, AGAIN, GOOD], [Rating.Good, Rating.Again, Rating.Good]),
        (
            [EASY, GOOD, HARD, AGAIN, AGAIN],
            [Rating.Easy, Rating.Good, Rating.Hard, Rating.Again, Rating.Again],
        ),
    ],
)
def test_recall_and_due_date_equal_the_library_run_by_hand(
    scores: list[tuple[int, int]], ratings: list[Rating]
) -> None:
    days = [0, 7, 21, 28, 90][: len(scores)]
    evenings = [Evening(FIRST + timedelta(day), *score) for day, score in zip(days, scores, strict=True)]
    memory = remember(evenings)
    card = by_hand(ratings, days)
    assert memory is not None
    assert (memory.stability_days, memory.hardness) == (card.stability, card.difficulty)
    for later in (0, 1, 5, 40, 400):
        on = evenings[-1].on + timedelta(later)
        noon = datetime(on.year, on.month, on.day, 12, tzinfo=UTC)
        expected = Scheduler(enable_fuzzing=False).get_card_retrievability(card, noon)
        assert recall_on(memory, on) == expected
    assert due_on(memory) - card.due.date() in (timedelta(0), timedelta(1))


@pytest.mark.parametrize(
    ("right", "tried", "rating"),
    [
        (0, 6, Rating.Again),
        (2, 6, Rating.Again),
        (3, 6, Rating.Hard),
        (4, 6, Rating.Hard),
        (3, 4, Rating.Good),
        (5, 6, Rating.Good),
        (6, 6, Rating.Easy),
        (5, 5, Rating.Easy),
        (4, 4, Rating.Good),
        (1, 1, Rating.Good),
        (0, 1, Rating.Again),
    ],
)
def test_the_share_right_decides_how_an_evening_counts(right: int, tried: int, rating: Rating) -> None:
    memory = remember([Evening(FIRST, right, tried)])
    assert memory is not None
    assert memory.stability_days == by_hand([rating], [0]).stability


def test_no_evening_leaves_no_memory() -> None:
    assert remember([]) is None


def test_a_perfect_evening_lasts_beyond_the_next_week_and_a_bad_one_does_not_last_a_day() -> None:
    assert due_after([Evening(FIRST, 6, 6)]) > FIRST + timedelta(7)
    assert due_after([Evening(FIRST, 2, 6)]) == FIRST + timedelta(1)


def test_an_evening_went_badly_if_fewer_than_half_were_right() -> None:
    assert how_it_went(Evening(FIRST, 2, 6)) is Went.BADLY
    assert how_it_went(Evening(FIRST, 3, 6)) is not Went.BADLY


def test_two_evenings_on_one_date_are_refused() -> None:
    with pytest.raises(CoachbookError, match="2026-09-10"):
        remember([Evening(FIRST, 1, 6), Evening(FIRST, 2, 6)])


@pytest.mark.parametrize("target", [0.0, 1.0, 1.5, float("nan")])
def test_a_target_outside_0_to_1_is_refused(target: float) -> None:
    with pytest.raises(CoachbookError, match="target recall"):
        due_after([Evening(FIRST, 1, 6)], target)


targets = st.sampled_from([0.7, 0.8, 0.9, 0.95])


@given(courses(), targets)
def test_a_unit_is_due_when_recall_falls_below_the_target_and_not_the_day_before(
    evenings: list[Evening], target: float
) -> None:
    memory = remember(evenings)
    assert memory is not None
    assume(how_it_went(evenings[-1]) is not Went.BADLY)
    due = due_on(memory, target)
    assert recall_on(memory, due) < target or due == memory.last_on + timedelta(36_500)
    assert recall_on(memory, due - timedelta(1)) >= target


@given(courses(), st.integers(0, 2), targets)
def test_what_went_badly_is_due_on_the_next_day_however_well_it_went_before(
    evenings: list[Evening], right: int, target: float
) -> None:
    bad = Evening(evenings[-1].on + timedelta(7), right, 6)
    assert due_after([*evenings, bad], target) == bad.on + timedelta(1)


@given(courses(), st.integers(1, 500), targets)
def test_whether_it_is_due_and_from_when_are_one_answer(
    evenings: list[Evening], later: int, target: float
) -> None:
    memory = remember(evenings)
    assert memory is not None
    day = memory.last_on + timedelta(later)
    assert is_due(memory, day, target) == (due_on(memory, target) <= day)


@given(courses(), st.randoms(use_true_random=False))
def test_the_order_in_which_evenings_are_handed_in_does_not_matter(
    evenings: list[Evening], random: Random
) -> None:
    shuffled = list(evenings)
    random.shuffle(shuffled)
    assert remember(shuffled) == remember(evenings)


@given(courses(), st.integers(0, 400), st.integers(0, 400))
def test_recall_falls_with_time(evenings: list[Evening], some: int, more: int) -> None:
    memory = remember(evenings)
    assert memory is not None
    last = evenings[-1].on
    assert recall_on(memory, last) == 1
    assert recall_on(memory, last + timedelta(some)) >= recall_on(memory, last + timedelta(some + more))


@given(courses(), st.data())
def test_a_better_evening_never_makes_a_unit_due_earlier(
    evenings: list[Evening], data: st.DataObject
) -> None:
    which = data.draw(st.integers(0, len(evenings) - 1))
    old = evenings[which]
    better = Evening(old.on, data.draw(st.integers(old.right, old.tried)), old.tried)
    assert due_after([*evenings[:which], better, *evenings[which + 1 :]]) >= due_after(evenings)


def play_out(end: PlayOutEnd, used: int | None = 9) -> PlayOutResult:
    start = "8/8/8/4k3/8/8/2Q5/K7 w - - 0 1"
    return PlayOutResult("Zoë", "queen-box", FIRST, start, Goal.WIN, 16, end, used)


SAW = Observation("Zoë", "queen-box", FIRST, "explained it")


@pytest.mark.parametrize(
    ("evening", "rating"),
    [
        (Evening(FIRST, play_outs=(play_out(PlayOutEnd.MATE, 16),)), Rating.Good),
        (Evening(FIRST, play_outs=(play_out(PlayOutEnd.MATE, 17),)), Rating.Hard),
        (Evening(FIRST, play_outs=(play_out(PlayOutEnd.MATE, None),)), Rating.Hard),
        (Evening(FIRST, play_outs=(play_out(PlayOutEnd.STALEMATE),)), Rating.Again),
        (
            Evening(FIRST, play_outs=(play_out(PlayOutEnd.STALEMATE), play_out(PlayOutEnd.MATE))),
            Rating.Good,
        ),
        (Evening(FIRST, *EASY, play_outs=(play_out(PlayOutEnd.MATE),)), Rating.Good),
        (Evening(FIRST, *EASY, play_outs=(play_out(PlayOutEnd.GAVE_UP),)), Rating.Again),
        (Evening(FIRST, *EASY, play_outs=(play_out(PlayOutEnd.UNFINISHED),)), Rating.Again),
        (Evening(FIRST, *EASY, play_outs=(play_out(PlayOutEnd.STOPPED),)), Rating.Easy),
        (Evening(FIRST, play_outs=(play_out(PlayOutEnd.MATE), play_out(PlayOutEnd.STOPPED))), Rating.Good),
        (
            Evening(FIRST, play_outs=(play_out(PlayOutEnd.GAVE_UP), play_out(PlayOutEnd.STOPPED))),
            Rating.Again,
        ),
        (Evening(FIRST, *HARD, play_outs=(play_out(PlayOutEnd.MATE),)), Rating.Hard),
        (Evening(FIRST, observations=(replace(SAW, impression=Impression.CAN),)), Rating.Good),
        (Evening(FIRST, observations=(replace(SAW, impression=Impression.TROUBLE),)), Rating.Hard),
        (Evening(FIRST, *AGAIN, observations=(replace(SAW, impression=Impression.CAN),)), Rating.Again),
    ],
)
def test_play_outs_and_what_the_coach_saw_count_as_the_docstring_says(
    evening: Evening, rating: Rating
) -> None:
    memory = remember([evening])
    card = by_hand([rating], [0])
    assert memory is not None
    assert (memory.stability_days, memory.hardness) == (card.stability, card.difficulty)


def test_a_play_out_that_stopped_before_its_end_leaves_no_memory() -> None:
    assert remember([Evening(FIRST, play_outs=(play_out(PlayOutEnd.STOPPED),))]) is None


def test_a_note_alone_leaves_no_memory() -> None:
    assert remember([Evening(FIRST, observations=(SAW,))]) is None
    assert how_it_went(Evening(FIRST, play_outs=(play_out(PlayOutEnd.GAVE_UP),))) is Went.BADLY

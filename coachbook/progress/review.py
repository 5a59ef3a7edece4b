"""What a student's evenings say about memory: predicted recall, and when to review.

A thin wrapper around the memory model of the package `fsrs` (FSRS-6, its default weights).
Its rating and state names stay in this file. Its random spreading of dates is off, it has no
steps shorter than a day, and every evening counts as noon UTC of its date: the same evenings
always give the same answer.
"""

from bisect import bisect_right
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import UTC, date, datetime, time, timedelta

from fsrs import Card, Rating, Scheduler, State

from coachbook.errors import CoachbookError
from coachbook.model.facts import Impression, PlayOutResult
from coachbook.model.progress import Evening

TARGET = 0.9  # the recall, from 0 to 1, below which a unit is due for review
_ENOUGH_ITEMS = 5
_LONGEST_DAYS = 36_500
_SCHEDULER = Scheduler(learning_steps=(), relearning_steps=(), enable_fuzzing=False)


@dataclass(frozen=True, slots=True)
class Memory:
    """Memory after the evening of `last_on`.

    `stability_days` is the number of days after which predicted recall is 0.9;
    `hardness` runs from 1 (easy to keep) to 10.
    """

    last_on: date
    stability_days: float
    hardness: float


def remember(evenings: Iterable[Evening]) -> Memory | None:
    """The memory that these evenings leave, whatever their order; None without evenings.

    An evening on which the coach only took a note, without an impression, leaves none: it says
    nothing of what the student can do. Raises CoachbookError if two of them are on one date.
    """
    memory: Memory | None = None
    for evening in sorted(filter(says_something, evenings), key=lambda evening: evening.on):
        if memory is not None and memory.last_on == evening.on:
            raise CoachbookError(f"Two evenings of one unit are on {evening.on}.", "Gather them into one.")
        noon = _noon(evening.on)
        card = Card(card_id=1, due=noon) if memory is None else _card(memory)
        card, _ = _SCHEDULER.review_card(card, _rating(evening), noon)
        memory = _memory(card, evening.on)
    return memory


def recall_on(memory: Memory, on: date) -> float:
    """Predicted share of recall, from 0 to 1, on a date; 1 on the evening itself and before."""
    return _SCHEDULER.get_card_retrievability(_card(memory), _noon(on))


def due_on(memory: Memory, target: float = TARGET) -> date:
    """The first date on which predicted recall is below `target` (above 0, below 1).

    The library rounds its interval to the nearest day, so that recall drops on that day or on
    the next; this is the exact day. After 100 years a unit is due in any case.
    Raises CoachbookError.
    """
    if not 0 < target < 1:
        raise CoachbookError(f"The target recall is {target}.", "Choose one between 0 and 1, such as 0.9.")

    def forgotten(days: int) -> float:
        return -recall_on(memory, memory.last_on + timedelta(days))

    days = range(1, _LONGEST_DAYS)
    return memory.last_on + timedelta(days.start + bisect_right(days, -target, key=forgotten))


def says_something(evening: Evening) -> bool:
    """Whether an evening tells what the student can do: more than a note without an impression."""
    return bool(evening.tried or evening.play_outs or any(seen.impression for seen in evening.observations))


def went_badly(evening: Evening) -> bool:
    """Whether it counts as forgotten: fewer than half of the answers right, or a play-out that failed."""
    return _rating(evening) is Rating.Again


def _rating(evening: Evening) -> Rating:
    """How an evening counts for the memory model.

    Answers: fewer than half right is forgotten, fewer than three quarters remembered with
    trouble, everything right of at least five remembered with ease (one right answer could be
    luck), all else remembered. A play-out: the goal reached within the allowance is remembered,
    reached late remembered with trouble, not reached forgotten; of several the last one counts, as
    the others were practice for it. If there are both, the worse of the two: what cannot be done
    at the board is not known. What the coach saw counts only on an evening without either:
    trouble is remembered with trouble, all else remembered. The bounds are coachbook's own
    choice, no source.
    """
    ratings = []
    if evening.tried:
        ratings.append(_rating_of_answers(evening))
    if evening.play_outs:
        ratings.append(_rating_of_play_out(evening.play_outs[-1]))
    if not ratings:
        trouble = any(seen.impression is Impression.TROUBLE for seen in evening.observations)
        ratings.append(Rating.Hard if trouble else Rating.Good)
    return min(ratings)


def _rating_of_answers(evening: Evening) -> Rating:
    if 2 * evening.right < evening.tried:
        return Rating.Again
    if 4 * evening.right < 3 * evening.tried:
        return Rating.Hard
    if evening.right == evening.tried >= _ENOUGH_ITEMS:
        return Rating.Easy
    return Rating.Good


def _rating_of_play_out(played: PlayOutResult) -> Rating:
    if not played.reached:
        return Rating.Again
    return Rating.Good if played.within else Rating.Hard


def _noon(on: date) -> datetime:
    return datetime.combine(on, time(12), UTC)


def _card(memory: Memory) -> Card:
    last = _noon(memory.last_on)
    return Card(
        card_id=1,
        state=State.Review,
        stability=memory.stability_days,
        difficulty=memory.hardness,
        due=last,
        last_review=last,
    )


def _memory(card: Card, on: date) -> Memory:
    if card.stability is None or card.difficulty is None:
        raise AssertionError("a reviewed card has a memory state")
    return Memory(on, card.stability, card.difficulty)

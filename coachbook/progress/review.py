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
from functools import lru_cache

from fsrs import Card, Rating, Scheduler, State

from coachbook.errors import CoachbookError
from coachbook.model.facts import Impression, PlayOutResult
from coachbook.model.progress import DecidedBy, Evening, Went
from coachbook.wording.counting import shown_day

TARGET = 0.9  # the recall, from 0 to 1, below which a unit is due for review
_ENOUGH_ITEMS = 5
_LONGEST_DAYS = 36_500
_RATINGS = {
    Went.BADLY: Rating.Again,
    Went.WITH_TROUBLE: Rating.Hard,
    Went.WELL: Rating.Good,
    Went.WITH_EASE: Rating.Easy,
}
_SCHEDULER = Scheduler(learning_steps=(), relearning_steps=(), enable_fuzzing=False)


@dataclass(frozen=True, slots=True)
class Memory:
    """Memory after the evening of `last_on`.

    `stability_days` is the number of days after which predicted recall is 0.9; `hardness` runs from 1
    (easy to keep) to 10; `last_went` is how that evening went.
    """

    last_on: date
    stability_days: float
    hardness: float
    last_went: Went


def remember(evenings: Iterable[Evening]) -> Memory | None:
    """The memory that these evenings leave, whatever their order; None without evenings.

    An evening on which the coach only took a note, without an impression, leaves none: it says
    nothing of what the student can do. Raises CoachbookError if two of them are on one date.
    """
    memory: Memory | None = None
    for evening in sorted(filter(says_something, evenings), key=lambda evening: evening.on):
        if memory is not None and memory.last_on == evening.on:
            raise CoachbookError(
                f"Two evenings of one unit are on {shown_day(evening.on)}.", "Gather them into one."
            )
        memory = memory_after(memory, evening.on, how_it_went(evening))
    return memory


@lru_cache(maxsize=20_000)
def memory_after(memory: Memory | None, on: date, went: Went) -> Memory:
    """What a memory comes to by an evening that is later. Worked out once for all who have come the same way;
    nothing here says who."""
    noon = _noon(on)
    card = Card(card_id=1, due=noon) if memory is None else _card(memory)
    card, _ = _SCHEDULER.review_card(card, _RATINGS[went], noon)
    return _memory(card, on, went)


def recall_on(memory: Memory, on: date) -> float:
    """Predicted share of recall, from 0 to 1, on a date; 1 on the evening itself and before."""
    return _SCHEDULER.get_card_retrievability(_card(memory), _noon(on))


@lru_cache(maxsize=20_000)
def due_on(memory: Memory, target: float = TARGET) -> date:
    """When a unit is due for review: the one place that decides it.

    From the next day on if the last evening went badly; else on the first date on which predicted recall is
    below `target` (above 0, below 1). The library rounds its interval to the nearest day, so that recall
    drops on that day or on the next; this is the exact day. After 100 years a unit is due in any case.
    Raises CoachbookError for a target that is out of these bounds.
    """
    if not 0 < target < 1:
        raise CoachbookError(f"The target recall is {target}.", "Choose one between 0 and 1, such as 0.9.")

    if memory.last_went is Went.BADLY:
        return memory.last_on + timedelta(1)

    def forgotten(days: int) -> float:
        return -recall_on(memory, memory.last_on + timedelta(days))

    days = range(1, _LONGEST_DAYS)
    return memory.last_on + timedelta(days.start + bisect_right(days, -target, key=forgotten))


def is_due(memory: Memory, on: date, target: float = TARGET) -> bool:
    """Whether a unit is due by a date: `due_on` is on it or before it. What went badly is due on the same
    evening, too: it is told in time for the next one."""
    return memory.last_went is Went.BADLY or recall_on(memory, on) < target


def says_something(evening: Evening) -> bool:
    """Whether an evening tells what the student can do: more than a note without an impression, or a play-out
    that stopped before its end."""
    return bool(
        evening.tried or evening.telling_play_outs or any(seen.impression for seen in evening.observations)
    )


def how_it_went(evening: Evening) -> Went:
    """How an evening counts for the memory model.

    Answers: fewer than half right is badly, fewer than three quarters with trouble, everything right of at
    least five with ease (one right answer could be luck), all else well. A play-out: the goal reached
    within the allowance is well, reached late with trouble, not reached badly; of several the last one
    counts, as the others were practice for it. If there are both, the worse of the two: what cannot be
    done at the board is not known. What the coach saw counts only on an evening without either: trouble is
    with trouble, all else well. The bounds are coachbook's own choice, no source.
    """
    return what_decided(evening)[0]


def what_decided(evening: Evening) -> tuple[Went, DecidedBy]:
    """How an evening went, and what of it decided that: of answers and a play-out the worse, the answers if
    both went alike."""
    found = []
    if evening.tried:
        found.append((_answers_went(evening.right, evening.tried), DecidedBy.ANSWERS))
    if evening.telling_play_outs:
        found.append((_play_out_went(evening.telling_play_outs[-1]), DecidedBy.PLAY_OUT))
    if not found:
        trouble = any(seen.impression is Impression.TROUBLE for seen in evening.observations)
        found.append((Went.WITH_TROUBLE if trouble else Went.WELL, DecidedBy.SEEN))
    return min(found, key=lambda each: each[0])


def _answers_went(right: int, tried: int) -> Went:
    if 2 * right < tried:
        return Went.BADLY
    if 4 * right < 3 * tried:
        return Went.WITH_TROUBLE
    if right == tried >= _ENOUGH_ITEMS:
        return Went.WITH_EASE
    return Went.WELL


def _play_out_went(played: PlayOutResult) -> Went:
    if not played.reached:
        return Went.BADLY
    return Went.WELL if played.within else Went.WITH_TROUBLE


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


def _memory(card: Card, on: date, went: Went) -> Memory:
    if card.stability is None or card.difficulty is None:
        raise AssertionError("a reviewed card has a memory state")
    return Memory(on, card.stability, card.difficulty, went)

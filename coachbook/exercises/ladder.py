"""A sheet as a ladder: from easy to hard, and not the same answer twice in a row."""

from collections import Counter
from collections.abc import Iterable, Iterator
from itertools import islice

from coachbook.model.worksheet import AnswerForm, Exercise

LARGEST_FALL = 10
"""In points of difficulty: so much easier than the item before an item may be."""

_POOL = 3
"""Of so many times the items that are wanted, those with different answers are taken."""


def as_ladder(items: Iterable[Exercise]) -> tuple[Exercise, ...]:
    """The same items, from easy to hard: no item is easier than the one before by more than LARGEST_FALL.

    Within that, neighbours have different answers where there is a choice.
    """
    left = sorted(items, key=_rank)
    ordered: list[Exercise] = []
    while left:
        within = [each for each in left if each.difficulty <= left[0].difficulty + LARGEST_FALL]
        others = [each for each in within if not ordered or _answer(each) != _answer(ordered[-1])]
        counts = Counter(map(_answer, left))
        chosen = max(others or within[:1], key=lambda each: (counts[_answer(each)], -left.index(each)))
        left.remove(chosen)
        ordered.append(chosen)
    return tuple(ordered)


def varied(stream: Iterator[Exercise], count: int) -> tuple[Exercise, ...]:
    """The next `count` items of a stream; where one answer is chosen from several, with as many different
    answers as the next few items allow. Fewer where the stream ends."""
    first = list(islice(stream, min(count, 1)))
    if count < 2 or not first or first[0].answer.form is not AnswerForm.CHOICE:
        return (*first, *islice(stream, count - 1)) if count else ()
    pool = [*first, *islice(stream, _POOL * count - 1)]
    chosen: list[Exercise] = []
    while pool and len(chosen) < count:
        taken = Counter(map(_answer, chosen))
        least = min(pool, key=lambda each: taken[_answer(each)])
        pool.remove(least)
        chosen.append(least)
    return tuple(chosen)


def _answer(exercise: Exercise) -> tuple[str, ...]:
    """What two neighbours should not have in common."""
    return (exercise.answer.form, *exercise.answer.accepted)


def _rank(exercise: Exercise) -> tuple[int, str]:
    return exercise.difficulty, exercise.key

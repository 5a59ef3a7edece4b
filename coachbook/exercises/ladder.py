"""A sheet as a ladder: from easy to hard whatever is asked, and no two neighbours with the same answer.

A *rung* is what stands in one place of a sheet: an exercise, or a pair of parallel ones, of which each
form has one. Everything here follows from the exercises alone, and not from the order in which they come.
"""

from collections import Counter
from collections.abc import Iterable, Iterator
from itertools import count as numbers
from itertools import islice

from coachbook.model.worksheet import AnswerForm, Exercise

SLACK = 10
"""By how many points of difficulty (of 100) an item may be easier than one before it."""

Rung = tuple[Exercise, ...]
_Answer = tuple[AnswerForm, frozenset[str]]

_LOOKED_AT = 3
"""So many candidates for an item are looked at for one with another answer."""
_TRIES = 2000
"""So many steps are tried before one more pair of neighbours may have the same answer."""


def right_of(exercise: Exercise) -> _Answer:
    """The right answer of an exercise, to compare it with others."""
    return exercise.answer.form, frozenset(exercise.answer.accepted)


def varied(stream: Iterable[Exercise], count: int) -> Iterator[Exercise]:
    """The same exercises of one kind, but first some whose answers differ, as far as `3 * count` have them.

    For a sheet of `count` each option of a choice comes first in its equal share, any other answer once.
    """
    coming = iter(stream)
    times, others = Counter[_Answer](), list[tuple[int, Exercise]]()
    for exercise in islice(coming, _LOOKED_AT * count):
        right = right_of(exercise)
        times[right] += 1
        if times[right] <= _share(exercise, count):
            yield exercise
        else:
            others.append((times[right], exercise))
    others.sort(key=lambda other: other[0])
    yield from (exercise for _, exercise in others)
    yield from coming


def _share(exercise: Exercise, count: int) -> int:
    """How often an answer comes if all come equally often."""
    return -(-count // len(exercise.answer.options)) if exercise.answer.options else 1


def as_ladder(items: Iterable[Exercise]) -> tuple[Exercise, ...]:
    """The items in the order of a sheet: none is more than SLACK easier than any before it, and as few
    neighbours as possible have the same answer; else from easy to hard."""
    return tuple(item for (item,) in _climbed([(item,) for item in items]))


def pairs_as_ladder(pairs: Iterable[Rung]) -> tuple[Rung, ...]:
    """The pairs in the order of both sheets, the first of each for the one, the second for the other.

    What holds of a ladder holds of each of the two, where no pair is more than SLACK apart. The easier one
    of a pair comes first and second in turn, unless neighbours would have the same answer.
    """
    turned = list[Rung]()
    for number, pair in enumerate(_climbed([tuple(sorted(pair, key=rank)) for pair in pairs])):
        ways = (pair, pair[::-1]) if number % 2 == 0 else (pair[::-1], pair)
        turned.append(min(ways, key=lambda way: _same(turned[-1], way) if turned else 0))
    return tuple(turned)


def rank(exercise: Exercise) -> tuple[int, str]:
    """By difficulty; of equal ones in an order that is always the same."""
    return exercise.difficulty, exercise.key


def _climbed(rungs: Iterable[Rung]) -> list[Rung]:
    """The rungs with the fewest neighbours alike that are found."""
    given = list(rungs)
    ways = [_queues(sorted(given, key=easier)) for easier in (_by_easier_item, _by_harder_item)]
    tried = ways if ways[0] != ways[1] else ways[:1]
    return next(
        found for alike in numbers() for queues in tried if (found := _Climb(queues).order(alike)) is not None
    )


def _by_easier_item(rung: Rung) -> list[tuple[int, str]]:
    return [*map(rank, rung)]


def _by_harder_item(rung: Rung) -> list[tuple[int, str]]:
    """A pair may come the sooner, the easier its harder item is; it differs from the other order where the
    difficulties of one pair lie between those of another."""
    return [*map(rank, rung[::-1])]


def _queues(ranked: list[Rung]) -> tuple[tuple[Rung, ...], ...]:
    """Rungs with the same answers, each from easy to hard, and together all whose answers come nowhere else.

    Of a queue the easiest is always next.
    """
    times = Counter(right for rung in ranked for right in {*map(right_of, rung)})
    queues: dict[tuple[_Answer, ...], list[Rung]] = {}
    for rung in ranked:
        answers = tuple(sorted(map(right_of, rung), key=lambda right: (right[0], sorted(right[1]))))
        alone = all(times[right] == 1 for right in answers)
        queues.setdefault(() if alone else answers, []).append(rung)
    return tuple(map(tuple, queues.values()))


class _Climb:
    """A search for an order: of each queue so many are taken, and the queue `last` has the rung before."""

    def __init__(self, queues: tuple[tuple[Rung, ...], ...]) -> None:
        self._queues = queues
        self._alike = [len(queue) > 1 and len({*map(right_of, queue[0] + queue[1])}) == 1 for queue in queues]
        self._ends = set[tuple[tuple[int, ...], int, int]]()
        self._tries = _TRIES

    def order(self, alike: int) -> list[Rung] | None:
        """One with so many neighbours alike and no more; None if none is found."""
        return self._order((0,) * len(self._queues), -1, alike)

    def _order(self, taken: tuple[int, ...], last: int, alike: int) -> list[Rung] | None:
        left = [len(queue) - at for queue, at in zip(self._queues, taken, strict=True)]
        if not any(left):
            return []
        if (taken, last, alike) in self._ends or not self._tries or self._too_many(left, last, alike):
            return None
        self._tries -= 1
        for same, _, number in self._next(taken, last):
            if same <= alike:
                now = (*taken[:number], taken[number] + 1, *taken[number + 1 :])
                rest = self._order(now, number, alike - same)
                if rest is not None:
                    return [self._queues[number][taken[number]], *rest]
        self._ends.add((taken, last, alike))
        return None

    def _next(self, taken: tuple[int, ...], last: int) -> list[tuple[int, list[tuple[int, str]], int]]:
        """The queues that may be next, the best first: how many neighbours that makes alike, and the rank."""
        here = [
            (queue[at], number)
            for number, (queue, at) in enumerate(zip(self._queues, taken, strict=True))
            if at < len(queue)
        ]
        least = min(rung[0].difficulty for rung, _ in here)
        before = self._queues[last][taken[last] - 1] if last >= 0 else ()
        easiest = min(here, key=lambda each: _by_easier_item(each[0]))
        return sorted(
            (min(_same(before, rung), _same(before, rung[::-1])), _by_easier_item(rung), number)
            for rung, number in here
            if (rung, number) == easiest or rung[-1].difficulty <= least + SLACK
        )

    def _too_many(self, left: list[int], last: int, alike: int) -> bool:
        """Whether those left of one queue can't be kept apart by all others."""
        everything, forms = sum(left), len(self._queues[0][0])
        return any(
            is_alike and forms * (2 * mine - everything - (number != last)) > alike
            for number, (is_alike, mine) in enumerate(zip(self._alike, left, strict=True))
        )


def _same(one: Rung, other: Rung) -> int:
    """In how many forms two rungs have the same answer."""
    return sum(right_of(a) == right_of(b) for a, b in zip(one, other, strict=False))

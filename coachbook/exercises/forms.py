"""Two parallel forms of a sheet, so that neighbours can't copy: alike item by item, no position shared.

Item by item both forms ask for the same kind, and their difficulties differ by at most TOLERANCE.
Exercises are drawn one by one; each is paired with the waiting one that is nearest in difficulty,
if one is near enough. Those that wait are more than TOLERANCE apart, so that of difficulties from
1 to 100 never more than 17 wait: a supply of twice the items and 17 more always gives such pairs.
Only where the supply ends before that, the nearest of those that wait are paired all the same.
"""

from dataclasses import dataclass
from itertools import pairwise

from coachbook.exercises.generate import SupplyExhaustedError, derived_seed, exercise_stream
from coachbook.exercises.verify import check_exercise
from coachbook.model.exercise import Exercise
from coachbook.model.syllabus import KindUse, Unit

TOLERANCE = 5
"""How far apart in difficulty (points of 100) a pair may be while the supply allows it."""

Pair = tuple[Exercise, Exercise]


@dataclass(frozen=True, slots=True)
class Forms:
    """The items of both forms, in printed order; `a[i]` and `b[i]` are a pair."""

    a: tuple[Exercise, ...]
    b: tuple[Exercise, ...]

    @property
    def widest(self) -> int:
        """The largest difference in difficulty of a pair: above TOLERANCE only if the supply forced it."""
        return max(abs(a.difficulty - b.difficulty) for a, b in zip(self.a, self.b, strict=True))


def make_forms(unit: Unit, count: int, seed: int, used: frozenset[str]) -> Forms:
    """`count` pairs of verified exercises, shared among the unit's kinds as on any sheet.

    One kind after the other, easier pairs first; the easier one of a pair is in form A, then in
    form B, in turn. No two of all these, turned or mirrored, are the same position, nor has one
    a key in `used`. Raises SupplyExhaustedError.
    """
    pairs: list[Pair] = []
    for index, use in enumerate(unit.kinds):
        share = len(range(index, count, len(unit.kinds)))
        taken = used | {item.key for pair in pairs for item in pair}
        pairs += _make_pairs(unit, use, share, derived_seed(seed, use.kind), taken)
    for item in (item for pair in pairs for item in pair):
        check_exercise(item)
    turned = [pair if number % 2 == 0 else pair[::-1] for number, pair in enumerate(pairs)]
    return Forms(tuple(a for a, _ in turned), tuple(b for _, b in turned))


def _make_pairs(unit: Unit, use: KindUse, count: int, seed: int, used: frozenset[str]) -> list[Pair]:
    """The pairs of one kind, the easier one of each first, the easiest pair first."""
    pairs: list[Pair] = []
    waiting: list[Exercise] = []
    stream = exercise_stream(unit, use, seed, used)
    while len(pairs) < count and (drawn := next(stream, None)) is not None:
        partner = min(waiting, key=lambda each: _apart(each, drawn), default=None)
        if partner is not None and _apart(partner, drawn) <= TOLERANCE:
            waiting.remove(partner)
            pairs.append((partner, drawn))
        else:
            waiting.append(drawn)
    while len(pairs) < count and len(waiting) > 1:
        pairs.append(_take_nearest(waiting))
    if len(pairs) < count:
        raise SupplyExhaustedError(
            f"Only {2 * len(pairs) + len(waiting)} fresh positions are left for {use.kind} in {unit.code},"
            f" {2 * count} are needed for two forms.",
            "Make shorter sheets, widen the range of difficulty in the syllabus, or take another unit.",
        )
    return sorted((_easier_first(*pair) for pair in pairs), key=lambda pair: [*map(_rank, pair)])


def _take_nearest(waiting: list[Exercise]) -> Pair:
    """The two that are nearest in difficulty, taken out."""
    first, second = min(pairwise(sorted(waiting, key=_rank)), key=lambda pair: _apart(*pair))
    waiting.remove(first)
    waiting.remove(second)
    return first, second


def _easier_first(one: Exercise, other: Exercise) -> Pair:
    return (one, other) if _rank(one) < _rank(other) else (other, one)


def _rank(exercise: Exercise) -> tuple[int, str]:
    return exercise.difficulty, exercise.key


def _apart(one: Exercise, other: Exercise) -> int:
    return abs(one.difficulty - other.difficulty)

"""How long exercises take a beginner, and so how many of a unit a stretch of time holds.

All figures: common practice, no source.
"""

from coachbook.model.syllabus import KindUse, Unit

MOST = 24
"""Items on a sheet."""

_HARDEST = (33, 66, 100)
"""Where the bands of difficulty end: easy, middle, hard."""
_USUAL = (1.0, 2.0, 3.0)
_AT_A_GLANCE = (0.5, 1.0, 1.5)
_MINUTES = {
    "final_position": _AT_A_GLANCE,
    "box_size": _AT_A_GLANCE,
    "catch_pawn": _AT_A_GLANCE,
    "opposition": _AT_A_GLANCE,
    "key_squares": _AT_A_GLANCE,
    "next_rule": (1.0, 1.5, 2.0),
    "every_mate": (1.0, 1.5, 2.5),
    "smallest_box": (1.0, 1.5, 2.5),
    "mate_in_two": (1.5, 2.5, 4.0),
}
"""Minutes for an item of a kind, a band after the other; of another kind the usual ones."""


def minutes_for(kind: str, difficulty: int) -> float:
    """How long an item of this kind and difficulty (1 to 100) takes."""
    band = next(band for band, hardest in enumerate(_HARDEST) if difficulty <= hardest)
    return _MINUTES.get(kind, _USUAL)[band]


def items_for(unit: Unit, minutes: float) -> int:
    """How many items of a unit so many minutes hold, its kinds in equal shares: from 1 to MOST."""
    return max(1, min(MOST, int(minutes / _minutes_each(unit))))


def minutes_of_items(unit: Unit, items: int) -> float:
    """How long so many items of a unit take, its kinds in equal shares."""
    return items * _minutes_each(unit)


def _minutes_each(unit: Unit) -> float:
    return sum(map(_mean, unit.kinds)) / len(unit.kinds)


def _mean(use: KindUse) -> float:
    """Of all difficulties that the unit asks for."""
    difficulties = range(use.easiest, use.hardest + 1)
    return sum(minutes_for(use.kind, each) for each in difficulties) / len(difficulties)

"""How long exercises take a beginner, and so how many of a unit a stretch of time holds.

All figures: common practice, no source.
"""

from coachbook.model.syllabus import KindUse, Unit

MOST = 24
"""Items on a sheet."""

_HARDEST = (33, 66, 100)
"""Where the bands of difficulty end: easy, middle, hard."""
_USUAL = (1.5, 2.5, 3.5)
_AT_A_GLANCE = (1.0, 1.5, 2.0)
_MINUTES = {
    "final_position": _AT_A_GLANCE,
    "box_size": _AT_A_GLANCE,
    "catch_pawn": _AT_A_GLANCE,
    "opposition": _AT_A_GLANCE,
    "key_squares": _AT_A_GLANCE,
    "next_rule": (1.5, 2.0, 2.5),
    "every_mate": (1.5, 2.0, 3.0),
    "smallest_box": (1.5, 2.0, 3.0),
    "mate_in_two": (2.0, 3.0, 4.0),
}
"""Minutes for an item of a kind, a band after the other; of another kind the usual ones."""


_AS_DRAWN = {
    "box_size": 1.25,
    "box_walls": 1.6,
    "build_position": 2.5,
    "catch_pawn": 1.1,
    "draw_square": 1.6,
    "enough_to_mate": 1.6,
    "every_mate": 1.6,
    "final_position": 1.0,
    "find_mistake": 2.8,
    "finish_rule": 2.0,
    "fork_square": 2.5,
    "key_squares": 1.0,
    "mate_in_two": 3.6,
    "mating_corners": 1.6,
    "next_moves": 3.5,
    "next_rule": 1.75,
    "no_go_squares": 1.6,
    "only_move": 2.0,
    "opposition": 1.2,
    "promotion": 1.5,
    "race_count": 2.5,
    "right_corner": 1.9,
    "rook_place": 2.0,
    "shrink_or_king": 2.25,
    "smallest_box": 1.8,
    "stalemate_moves": 2.4,
    "stop_pawn": 1.6,
    "waiting_move": 2.4,
    "win_or_draw": 2.3,
}
"""Minutes for an item of a kind as sheets have them: the mean of some hundred that were drawn for all
units. Of a kind that is not there all difficulties count as equally likely."""


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
    return sum(map(_as_drawn, unit.kinds)) / len(unit.kinds)


def _as_drawn(use: KindUse) -> float:
    """Within what the unit asks for."""
    least, most = (minutes_for(use.kind, difficulty) for difficulty in (use.easiest, use.hardest))
    if use.kind in _AS_DRAWN:
        return min(most, max(least, _AS_DRAWN[use.kind]))
    difficulties = range(use.easiest, use.hardest + 1)
    return sum(minutes_for(use.kind, each) for each in difficulties) / len(difficulties)

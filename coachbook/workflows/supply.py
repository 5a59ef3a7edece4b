"""How many different exercises the tables hold for each unit and kind."""

from collections.abc import Callable, Iterator
from dataclasses import dataclass

import numpy as np

from coachbook.exercises.generate import supplies
from coachbook.exercises.registry import find_kind
from coachbook.model.syllabus import KindUse, Syllabus, Unit

_SAMPLE = 300
"""Supplies up to this size are counted to the last position; of larger ones a sample is drawn."""

Progress = Callable[[int, int, str], None]


@dataclass(frozen=True, slots=True)
class SupplyCount:
    """`positions` suit the kind (up to turning and mirroring); of them `exercises` are of the
    difficulty asked for: exactly, or (`estimated`) judged by an even sample of 300."""

    unit: str
    kind: str
    positions: int
    exercises: int
    estimated: bool


def count_supply(syllabus: Syllabus, code: str | None, progress: Progress) -> tuple[SupplyCount, ...]:
    """The supply of every kind of a unit, or of all units. Raises CoachbookError for an unknown unit."""
    units = syllabus.units if code is None else (syllabus.unit(code),)
    uses = [(unit, use) for unit in units for use in unit.kinds]
    counts = []
    for number, (unit, use) in enumerate(uses):
        progress(number, len(uses), f"{unit.code}: {use.kind}")
        counts.append(_count(unit, use))
    progress(len(uses), len(uses), "")
    return tuple(counts)


def _count(unit: Unit, use: KindUse) -> SupplyCount:
    positions = sum(len(each.cells) for each in supplies(use.kind, unit.endings))
    tried = list(_fitting(unit, use, max(1, -(-positions // _SAMPLE))))
    estimated = len(tried) < positions
    share = sum(tried) / len(tried) if tried else 0.0
    return SupplyCount(unit.code, use.kind, positions, round(share * positions), estimated)


def _fitting(unit: Unit, use: KindUse, step: int) -> Iterator[bool]:
    """For every `step`-th position: whether it makes an exercise of the difficulty asked for."""
    draft = find_kind(use.kind).draft
    for each in supplies(use.kind, unit.endings):
        for index in np.arange(0, len(each.cells), step):
            board = each.survey.board(each.cells[index])
            made = draft(board) if board.is_valid() else None
            yield made is not None and use.easiest <= made.difficulty <= use.hardest

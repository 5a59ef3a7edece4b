"""Making exercises: fresh, verified, reproducible from a seed."""

import random
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from functools import cache
from hashlib import blake2b
from itertools import islice, zip_longest

import chess
import numpy as np
from numpy.typing import NDArray

from coachbook.endgame.census import Survey
from coachbook.endgame.looks import look, symmetry_key, turns
from coachbook.endgame.material import parse_material
from coachbook.endgame.space import WHITE
from coachbook.endgame.tables import shared_tables
from coachbook.errors import CoachbookError
from coachbook.exercises.kind import Draft
from coachbook.exercises.registry import find_kind
from coachbook.exercises.verify import check_exercise
from coachbook.model.exercise import Exercise
from coachbook.model.position import Position
from coachbook.model.syllabus import KindUse, Unit


@dataclass(frozen=True, slots=True)
class Supply:
    """All positions of an ending that suit a kind."""

    survey: Survey
    cells: NDArray[np.intp]


class SupplyExhaustedError(CoachbookError):
    """No fresh position is left for what is asked."""


@cache
def survey_of(ending: str, side: int) -> Survey:
    """The positions of an ending such as "KQK" with this side to move."""
    return Survey(parse_material(ending), side, shared_tables())


@cache
def supply(kind: str, ending: str, side: int = WHITE) -> Supply:
    """The positions that suit a kind, from one ending such as "KQK", this side to move."""
    survey = survey_of(ending, side)
    cells = find_kind(kind).candidates(survey)
    for man in survey.space.men:
        if man.is_pawn:  # no exercise depends on the move before
            index = cells[:, man.axis]
            cells = cells[(index < man.just_pushed.start) | (index >= man.just_pushed.stop)]
    return Supply(survey, cells)


def supplies(kind: str, endings: Iterable[str]) -> tuple[Supply, ...]:
    """Those of several endings, with each side to move of which the kind asks."""
    sides = find_kind(kind).sides
    return tuple(supply(kind, ending, side) for ending in endings for side in sides)


def derived_seed(seed: int, *parts: str) -> int:
    """A seed for a part of something made from a seed: the same on every machine."""
    text = "\x1f".join((str(seed), *parts))
    return int.from_bytes(blake2b(text.encode(), digest_size=6).digest(), "big")


def make_items(unit: Unit, count: int, seed: int, used: frozenset[str]) -> tuple[Exercise, ...]:
    """`count` exercises of a unit, shared among its kinds: one kind after the other, easier ones first.

    None of them, turned or mirrored, has a key in `used`. Raises SupplyExhaustedError.
    """
    items: list[Exercise] = []
    for index, use in enumerate(unit.kinds):
        share = len(range(index, count, len(unit.kinds)))
        taken = used | {item.key for item in items}
        items += make_exercises(unit, use, share, derived_seed(seed, use.kind), taken)
    return tuple(items)


def make_exercises(
    unit: Unit, use: KindUse, count: int, seed: int, used: frozenset[str]
) -> tuple[Exercise, ...]:
    """`count` verified exercises of one kind, the easiest first. Raises SupplyExhaustedError."""
    found = tuple(islice(exercise_stream(unit, use, seed, used), count))
    if len(found) < count:
        raise SupplyExhaustedError(
            f"Only {len(found)} fresh positions are left for {use.kind} in {unit.code}, {count} are needed.",
            "Make a shorter sheet, widen the range of difficulty in the syllabus, or take another unit.",
        )
    for exercise in found:
        check_exercise(exercise)
    return tuple(sorted(found, key=lambda exercise: (exercise.difficulty, exercise.key)))


def exercise_stream(unit: Unit, use: KindUse, seed: int, used: frozenset[str]) -> Iterator[Exercise]:
    """Exercises, not verified, in an order that the seed decides, until the supply is used up."""
    chance = random.Random(seed)  # noqa: S311 - a choice of positions, not a secret
    draft = find_kind(use.kind).draft
    seen = set(used)
    for board in _boards(unit, use.kind, chance):
        key = symmetry_key(board)
        made = None if key in seen else draft(board)
        seen.add(key)
        if made is not None and use.easiest <= made.difficulty <= use.hardest:
            yield exercise_of(unit.code, use.kind, board, made, key, seed)


def _boards(unit: Unit, kind: str, chance: random.Random) -> Iterator[chess.Board]:
    """All suitable positions, each in one of its looks, the unit's endings in turn."""
    sources = supplies(kind, unit.endings)
    orders = [_shuffled(len(each.cells), chance) for each in sources]
    for turn in zip_longest(*orders):
        for each, index in zip(sources, turn, strict=True):
            if index is not None:
                board = each.survey.board(each.cells[index])
                turned = look(board, chance.choice(turns(board)))
                if turned.is_valid():  # the tables also hold checks that no move can give
                    yield turned


def _shuffled(count: int, chance: random.Random) -> Iterator[int]:
    """The numbers below `count` in a random order, drawn one by one: a sheet needs but a few of many."""
    moved: dict[int, int] = {}
    for last in reversed(range(count)):
        drawn = chance.randrange(last + 1)
        yield moved.get(drawn, drawn)
        moved[drawn] = moved.get(last, last)


def exercise_of(unit: str, kind: str, board: chess.Board, draft: Draft, key: str, seed: int) -> Exercise:
    """A draft as an exercise of a unit, not yet verified."""
    return Exercise(
        kind=kind,
        unit=unit,
        position=Position(board.fen()),
        task=draft.task,
        task_marks=draft.task_marks,
        answer=draft.answer,
        solution=draft.solution,
        claims=draft.claims,
        difficulty=draft.difficulty,
        key=key,
        seed=seed,
    )

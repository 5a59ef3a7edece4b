"""Making exercises: fresh, verified, reproducible from a seed, and in parallel forms.

Item by item two forms ask for the same kind, and their difficulties differ by at most TOLERANCE.
Exercises are drawn one by one; each is paired with the waiting one that is nearest in difficulty,
if one is near enough. Those that wait are more than TOLERANCE apart, so that of difficulties from
1 to 100 never more than 17 wait: a supply of twice the items and 17 more always gives such pairs.
Only where the supply ends before that, the nearest of those that wait are paired all the same.
"""

import random
from collections.abc import Collection, Iterable, Iterator
from dataclasses import dataclass
from functools import cache
from hashlib import blake2b
from itertools import islice, pairwise, zip_longest

import chess
import numpy as np
from numpy.typing import NDArray

from coachbook.endgame.census import Survey
from coachbook.endgame.material import parse_material
from coachbook.endgame.space import WHITE
from coachbook.endgame.symmetry import symmetry_key, turned_board, turns
from coachbook.endgame.tables import shared_tables
from coachbook.errors import CoachbookError
from coachbook.exercises.drawn_positions import Drawn, is_drawn_from
from coachbook.exercises.kind import Draft
from coachbook.exercises.kinds import find_kind
from coachbook.exercises.ladder import Rung, as_ladder, pairs_as_ladder, rank, right_of, varied
from coachbook.exercises.themes import is_suiting, may_suit, narrowed, suiting
from coachbook.exercises.verify import check_exercise
from coachbook.model.known_themes import Themes
from coachbook.model.position import Position
from coachbook.model.syllabus import KindUse, Unit
from coachbook.model.worksheet import Exercise


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
def supply(kind: str, ending: str, side: int = WHITE, themes: Themes = ()) -> Supply:
    """The positions that suit a kind and the themes, from one ending such as "KQK", this side to move."""
    survey = narrowed(survey_of(ending, side), themes)
    if not survey.legal.any():
        return Supply(survey, survey.cells(survey.legal))
    cells = find_kind(kind).candidates(survey)
    for man in survey.space.men:
        if man.is_pawn:  # no exercise depends on the move before
            index = cells[:, man.axis]
            cells = cells[(index < man.just_pushed.start) | (index >= man.just_pushed.stop)]
    return Supply(survey, cells[suiting(survey, cells, themes)])


def supplies(kind: str, endings: Iterable[str], themes: Themes = ()) -> tuple[Supply, ...]:
    """Those of several endings, with each side to move of which the kind asks."""
    sides = find_kind(kind).sides
    return tuple(supply(kind, ending, side, themes) for ending in endings for side in sides)


def surveyed(endings: Iterable[str]) -> tuple[str, ...]:
    """Those of the endings that are small enough for a survey."""
    return tuple(ending for ending in endings if not is_drawn_from(ending))


def derived_seed(seed: int, *parts: str) -> int:
    """A seed for a part of something made from a seed: the same on every machine."""
    text = "\x1f".join((str(seed), *parts))
    return int.from_bytes(blake2b(text.encode(), digest_size=6).digest(), "big")


def make_items(unit: Unit, count: int, seed: int, used: frozenset[str]) -> tuple[Exercise, ...]:
    """`count` exercises of a unit, shared evenly among the sheet's kinds, as a ladder.

    None of them, turned or mirrored, has a key in `used`. Raises SupplyExhaustedError.
    """
    items: list[Exercise] = []
    uses = kinds_of_sheet(unit, seed)
    for index, use in enumerate(uses):
        share = len(range(index, count, len(uses)))
        taken = used | {item.key for item in items}
        items += make_exercises(unit, use, share, derived_seed(seed, use.kind), taken)
    return as_ladder(items)


def kinds_of_sheet(unit: Unit, seed: int) -> tuple[KindUse, ...]:
    """The kinds of which a sheet of a unit is made: not both those for which the card is printed and those
    that ask what it says."""
    reading = {use.kind for use in unit.kinds if find_kind(use.kind).reads_card}
    knowing = {use.kind for use in unit.kinds if find_kind(use.kind).by_heart}
    left_out = (reading if seed % 2 else knowing) if reading and knowing else set[str]()
    return tuple(use for use in unit.kinds if use.kind not in left_out)


def make_exercises(
    unit: Unit, use: KindUse, count: int, seed: int, used: frozenset[str]
) -> tuple[Exercise, ...]:
    """`count` verified exercises of one kind, the easiest first, with different answers if there are such.

    Raises SupplyExhaustedError.
    """
    found = tuple(islice(varied(exercise_stream(unit, use, seed, used), count), count))
    if len(found) < count:
        raise SupplyExhaustedError(
            f"Only {len(found)} fresh positions are left for {use.kind} in {unit.code}, {count} are needed.",
            "Make a shorter sheet, widen the range of difficulty in the syllabus, or take another unit.",
        )
    for exercise in found:
        check_exercise(exercise)
    return tuple(sorted(found, key=rank))


_EXAMPLES = 5
"""The easiest of so many is a good example."""


def make_example(
    unit: Unit, use: KindUse, seed: int, used: frozenset[str], items: Collection[Exercise]
) -> Exercise | None:
    """An easy verified exercise of one kind, to be shown with its answer: if possible with another than any
    of the items has. None if no fresh one is left."""
    given = {right_of(item) for item in items}
    stream = islice(exercise_stream(unit, use, seed, used), _EXAMPLES)
    found = min(stream, key=lambda each: (right_of(each) in given, rank(each)), default=None)
    if found is not None:
        check_exercise(found)
    return found


def exercise_stream(unit: Unit, use: KindUse, seed: int, used: frozenset[str]) -> Iterator[Exercise]:
    """Exercises, not verified, in an order that the seed decides, until the supply is used up."""
    making = _Making(unit.code, use, seed, set(used))
    chance = random.Random(seed)  # noqa: S311 - a choice of positions, not a secret
    drawn = [making.exercises(boards, _MOST_TRIED) for boards in _drawn_boards(unit, use, seed)]
    yield from _in_turn([making.exercises(_boards(unit, use, chance)), *drawn])


_MOST_TRIED = 10_000
"""So many positions by chance that give no exercise, one after the other, and the search ends."""


@dataclass(frozen=True, slots=True)
class _Making:
    """What exercises are made of; `seen` are the keys of all positions that were looked at, or are not to be
    had."""

    unit: str
    use: KindUse
    seed: int
    seen: set[str]

    def exercises(self, boards: Iterator[chess.Board], most: int | None = None) -> Iterator[Exercise]:
        """Those that the boards give, until `most` of these in a row give none."""
        in_vain = 0
        for board in boards:
            exercise = self._exercise(board)
            in_vain = in_vain + 1 if exercise is None else 0
            if exercise is not None:
                yield exercise
            elif in_vain == most:
                return

    def _exercise(self, board: chess.Board) -> Exercise | None:
        key, use = symmetry_key(board), self.use
        made = (
            None if key in self.seen or not may_suit(board, use.themes) else find_kind(use.kind).draft(board)
        )
        self.seen.add(key)
        if made is None or not is_asked_for(use, board, made):
            return None
        exercise = exercise_of(self.unit, use.kind, board, made, self.seed)
        if exercise.key != key and exercise.key in self.seen:
            return None
        self.seen.add(exercise.key)
        return exercise


def _in_turn(streams: list[Iterator[Exercise]]) -> Iterator[Exercise]:
    """One of each in turn; of the others when some have ended."""
    while streams:
        for stream in tuple(streams):
            exercise = next(stream, None)
            if exercise is None:
                streams.remove(stream)
            else:
                yield exercise


def is_asked_for(use: KindUse, board: chess.Board, draft: Draft) -> bool:
    """Whether a draft of a board has the difficulty and the themes that a unit asks for."""
    return use.easiest <= draft.difficulty <= use.hardest and is_suiting(board, draft, use.themes)


def fresh_exercises(unit: Unit, use: KindUse, most: int) -> int:
    """How many different exercises of a kind a unit can make, counted up to `most`."""
    return sum(1 for _ in islice(exercise_stream(unit, use, 1, frozenset()), most))


def _boards(unit: Unit, use: KindUse, chance: random.Random) -> Iterator[chess.Board]:
    """All suitable positions of the unit's endings that have a survey, each in one of its looks, the endings
    in turn."""
    sources = supplies(use.kind, surveyed(unit.endings), use.themes)
    orders = [_shuffled(len(each.cells), chance) for each in sources]
    for turn in zip_longest(*orders):
        for each, index in zip(sources, turn, strict=True):
            if index is not None:
                board = each.survey.board(each.cells[index])
                turned = turned_board(board, chance.choice(turns(board)))
                if turned.is_valid():  # the tables also hold checks that no move can give
                    yield turned


def _drawn_boards(unit: Unit, use: KindUse, seed: int) -> Iterator[Iterator[chess.Board]]:
    """Suitable positions by chance, of each of the unit's endings that has no survey, a case after the other.

    Raises CoachbookError if the kind can't be asked there.
    """
    for ending in filter(is_drawn_from, dict.fromkeys(unit.endings)):
        if (own := played_boards(use, ending, seed)) is not None:
            yield own
            continue
        yield from (drawn.won(by_white=white_wins) for drawn, white_wins in drawn_cases(use, ending, seed))


def played_boards(use: KindUse, ending: str, seed: int) -> Iterator[chess.Board] | None:
    """Positions in an ending without a survey as they come up when a method is followed; None for a kind that
    does not ask for that there."""
    played = find_kind(use.kind).played
    return played(ending, random.Random(derived_seed(seed, ending))) if played else None  # noqa: S311


def drawn_cases(use: KindUse, ending: str, seed: int) -> Iterator[tuple[Drawn, bool]]:
    """The cases of which a kind is asked in an ending without a survey: where positions are drawn, and
    whether White wins.

    Raises CoachbookError if the kind can't be asked there.
    """
    kind = find_kind(use.kind)
    cases = kind.large
    if not cases:
        raise CoachbookError(
            f"{use.kind} cannot be asked in {ending}, nor in other endings of five men.",
            "Take another kind of exercise for this unit.",
        )
    chances = {side: random.Random(derived_seed(seed, ending, str(side))) for side, _ in cases}  # noqa: S311
    drawn = {side: Drawn(ending, side, use.themes, chance, kind.leads_to) for side, chance in chances.items()}
    asked = dict(use.themes)
    for side, white_wins in cases:
        case = {"to_move": chess.COLOR_NAMES[side == WHITE], "result": "win" if white_wins else "draw"}
        if all(asked.get(name, value) == value for name, value in case.items()):
            yield drawn[side], white_wins


def _shuffled(count: int, chance: random.Random) -> Iterator[int]:
    """The numbers below `count` in a random order, drawn one by one: a sheet needs but a few of many."""
    moved: dict[int, int] = {}
    for last in reversed(range(count)):
        drawn = chance.randrange(last + 1)
        yield moved.get(drawn, drawn)
        moved[drawn] = moved.get(last, last)


def exercise_of(unit: str, kind: str, board: chess.Board, draft: Draft, seed: int) -> Exercise:
    """The draft of a position as an exercise of a unit, not yet verified."""
    shown = draft.shown or board
    return Exercise(
        kind=kind,
        unit=unit,
        position=Position(shown.fen()),
        task=draft.task,
        task_marks=draft.task_marks,
        answer=draft.answer,
        solution=draft.solution,
        claims=draft.claims,
        difficulty=draft.difficulty,
        key=symmetry_key(shown),
        seed=seed,
    )


TOLERANCE = 5
"""How far apart in difficulty (points of 100) a pair may be while the supply allows it."""


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
    """`count` pairs of verified exercises, shared among the unit's kinds as on any sheet, each form a ladder.

    No two of all these, turned or mirrored, are the same position, nor has one a key in `used`. Raises
    SupplyExhaustedError.
    """
    pairs: list[Rung] = []
    uses = kinds_of_sheet(unit, seed)
    for index, use in enumerate(uses):
        share = len(range(index, count, len(uses)))
        taken = used | {item.key for pair in pairs for item in pair}
        pairs += _make_pairs(unit, use, share, derived_seed(seed, use.kind), taken)
    for item in (item for pair in pairs for item in pair):
        check_exercise(item)
    placed = pairs_as_ladder(pairs)
    return Forms(tuple(a for a, _ in placed), tuple(b for _, b in placed))


def _make_pairs(unit: Unit, use: KindUse, count: int, seed: int, used: frozenset[str]) -> list[Rung]:
    """The pairs of one kind."""
    pairs: list[Rung] = []
    waiting: list[Exercise] = []
    stream = varied(exercise_stream(unit, use, seed, used), 2 * count)
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
    return pairs


def _take_nearest(waiting: list[Exercise]) -> Rung:
    """The two that are nearest in difficulty, taken out."""
    first, second = min(pairwise(sorted(waiting, key=rank)), key=lambda pair: _apart(*pair))
    waiting.remove(first)
    waiting.remove(second)
    return first, second


def _apart(one: Exercise, other: Exercise) -> int:
    return abs(one.difficulty - other.difficulty)

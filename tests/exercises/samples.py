"""The exercises that the curriculum asks for, and sheets of them to test."""

import random
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace
from functools import cache
from itertools import chain, count, islice
from typing import overload

import pytest
from _pytest.mark import ParameterSet
from hypothesis import strategies as st

from coachbook.exercises.generate import derived_seed, make_exercises
from coachbook.exercises.kinds import kind_names
from coachbook.model.known_themes import Themes
from coachbook.model.syllabus import KindUse, Unit
from coachbook.model.worksheet import Exercise
from tests.shipped import LARGE_UNITS, UNITS, WITH_FIVE_MEN


@dataclass(frozen=True, slots=True)
class Use:
    """A kind of exercise in one unit."""

    unit: Unit
    use: KindUse

    def __str__(self) -> str:
        return f"{self.use.kind} in {self.unit.code}"


def unit_with(kind: str, ending: str, easiest: int = 1, hardest: int = 100, themes: Themes = ()) -> Unit:
    """A unit that asks for one kind of exercise from one ending."""
    return replace(UNITS[0], endings=(ending,), kinds=(KindUse(kind, easiest, hardest, themes),))


STAND_INS = (unit_with("rook_place", "KRKP", themes=(("to_move", "white"),)),)
"""With four men, for kinds that the syllabus has with five only."""

USES = tuple(Use(unit, use) for unit in (*UNITS, *STAND_INS) for use in unit.kinds)
LARGE_USES = tuple(Use(unit, use) for unit in LARGE_UNITS for use in unit.kinds)
"""Those with five men: their tables are there in the long run."""

FIRST_USES = tuple(next(use for use in USES if use.use.kind == kind) for kind in kind_names())
"""Each kind in the first unit that uses it."""


def marked_uses(uses: Sequence[Use]) -> list[ParameterSet]:
    """Uses as parameters of a test; in the long run those with five men, too."""
    large = [pytest.param(use, marks=WITH_FIVE_MEN, id=str(use)) for use in LARGE_USES]
    return [*(pytest.param(use, id=str(use)) for use in uses), *large]


_A_SHEET = 4
"""Of a few, so that small supplies are enough too."""


def sample(use: Use, size: int, seed: int = 1) -> tuple[Exercise, ...]:
    """So many exercises of a use. Of the same seed they are always the same, and made once: the fewer are
    the first of the more."""
    return tuple(islice(chain.from_iterable(_sheet(use, number, seed) for number in count()), size))


@cache
def _sheet(use: Use, number: int, seed: int) -> tuple[Exercise, ...]:
    """In no order: the first is not always the easiest."""
    own = derived_seed(seed, str(use), str(number))
    made = make_exercises(use.unit, use.use, _A_SHEET, own, frozenset())
    return tuple(random.Random(own).sample(made, len(made)))  # noqa: S311 - no secret


class Made(Sequence[Exercise]):
    """Exercises that are made when a test first looks at them, and not when tests are gathered: that is done
    by each worker, whatever it then runs."""

    def __init__(self, make: Callable[[], Iterator[Exercise]]) -> None:
        self._made = cache(lambda: tuple(make()))

    def __len__(self) -> int:
        return len(self._made())

    @overload
    def __getitem__(self, at: int) -> Exercise: ...
    @overload
    def __getitem__(self, at: slice) -> tuple[Exercise, ...]: ...
    def __getitem__(self, at: int | slice) -> Exercise | tuple[Exercise, ...]:
        return self._made()[at]

    @property
    def any(self) -> st.SearchStrategy[Exercise]:
        """One of them."""
        return st.deferred(lambda: st.sampled_from(self._made()))


def of_each_kind(size: int) -> Made:
    """So many of each kind, in the first unit that uses it."""
    return Made(lambda: (exercise for use in FIRST_USES for exercise in sample(use, size)))


def first_use(kind: str) -> Use:
    return next(use for use in FIRST_USES if use.use.kind == kind)

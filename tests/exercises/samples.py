"""The exercises that the curriculum asks for, and sheets of them to test."""

from dataclasses import dataclass, replace
from functools import cache
from pathlib import Path

from coachbook.exercises.generate import derived_seed, make_exercises
from coachbook.exercises.kinds import kind_names
from coachbook.model.syllabus import KindUse, Unit
from coachbook.model.worksheet import Exercise
from coachbook.syllabus import read_syllabus

CURRICULA = Path(__file__).parents[2] / "curricula"
UNITS = read_syllabus(CURRICULA).units


@dataclass(frozen=True, slots=True)
class Use:
    """A kind of exercise in one unit."""

    unit: Unit
    use: KindUse

    def __str__(self) -> str:
        return f"{self.use.kind} in {self.unit.code}"


USES = tuple(Use(unit, use) for unit in UNITS for use in unit.kinds)

FIRST_USES = tuple(next(use for use in USES if use.use.kind == kind) for kind in kind_names())
"""Each kind in the first unit that uses it."""


@cache
def sample(use: Use, count: int, seed: int = 1) -> tuple[Exercise, ...]:
    """`count` exercises of a use. Sheets of a few, so that small supplies are enough too."""
    found: list[Exercise] = []
    while len(found) < count:
        size = min(20, count - len(found))
        found += make_exercises(
            use.unit, use.use, size, derived_seed(seed, str(use), str(len(found))), frozenset()
        )
    return tuple(found)


def unit_with(kind: str, ending: str, easiest: int = 1, hardest: int = 100) -> Unit:
    """A unit that asks for one kind of exercise from one ending."""
    return replace(UNITS[0], endings=(ending,), kinds=(KindUse(kind, easiest, hardest),))

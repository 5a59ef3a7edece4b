"""What a kind of exercise is, and which there are: the files of `kinds`, imported only when used."""

from collections.abc import Callable
from dataclasses import dataclass
from functools import cache
from importlib import import_module
from pathlib import Path

import chess
import numpy as np
from numpy.typing import NDArray

from coachbook.endgame.census import Survey
from coachbook.endgame.space import WHITE
from coachbook.errors import CoachbookError
from coachbook.model.claims import Claim
from coachbook.model.position import Marks
from coachbook.model.worksheet import Answer, Saying, Solution


@dataclass(frozen=True, slots=True)
class Draft:
    """An exercise in one position, not yet verified. `difficulty` is 1 to 100."""

    task: Saying
    task_marks: Marks
    answer: Answer
    solution: Solution
    claims: tuple[Claim, ...]
    difficulty: int


@dataclass(frozen=True, slots=True)
class Kind:
    """A kind of exercise. Each file in `kinds` defines one, called KIND.

    `title` says in a few words what is asked, `sides` who may be to move. `candidates` finds all
    positions of an ending that suit the kind, the survey's side to move: cells as of
    `Survey.cells`, one for each class of symmetric positions. `draft` makes the exercise of a
    position, or None if it suits badly.
    """

    title: str
    candidates: Callable[[Survey], NDArray[np.intp]]
    draft: Callable[[chess.Board], Draft | None]
    sides: tuple[int, ...] = (WHITE,)


def clamp(difficulty: int) -> int:
    """A difficulty within 1 and 100."""
    return max(1, min(100, difficulty))


_FOLDER = Path(__file__).parent / "kinds"


@cache
def kind_names() -> tuple[str, ...]:
    """The names of all kinds, in alphabetical order."""
    return tuple(sorted(file.stem for file in _FOLDER.glob("[a-z]*.py")))


def find_kind(name: str) -> "Kind":
    """The kind of this name. Raises CoachbookError if there is none."""
    if name not in kind_names():
        raise CoachbookError(
            f"There is no kind of exercise '{name}'.", f"Choose one of: {', '.join(kind_names())}."
        )
    kind: Kind = import_module(f"coachbook.exercises.kinds.{name}").KIND
    return kind

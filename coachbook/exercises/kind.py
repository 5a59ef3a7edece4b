"""What a kind of exercise is: where its positions come from, and what it asks of them."""

import random
from collections.abc import Callable, Iterator
from dataclasses import dataclass

import chess
import numpy as np
from numpy.typing import NDArray

from coachbook.endgame.census import Survey
from coachbook.endgame.space import WHITE
from coachbook.model.claims import Claim
from coachbook.model.position import Marks
from coachbook.model.worksheet import Answer, Saying, Solution


@dataclass(frozen=True, slots=True)
class Draft:
    """An exercise in one position, not yet verified. `difficulty` is 1 to 100.

    `shown` is the position that is printed, where it is not the one of which the draft was made: one
    with a man less, which the student is to place.
    """

    task: Saying
    task_marks: Marks
    answer: Answer
    solution: Solution
    claims: tuple[Claim, ...]
    difficulty: int
    shown: chess.Board | None = None


Case = tuple[int, bool]
"""The side to move, and whether White wins with best play; else it is a draw."""


@dataclass(frozen=True, slots=True)
class Kind:
    """A kind of exercise. Each file in `kinds` defines one, called KIND.

    `title` says in a few words what is asked, `sides` who may be to move. `candidates` finds all
    positions of an ending that suit the kind, the survey's side to move: cells as of
    `Survey.cells`, one for each class of symmetric positions. `draft` makes the exercise of a
    position, or None if it suits badly. `reads_card` is for a task that says to play by the rules of the
    card, which then are printed on the sheet, `by_heart` for one that asks what these rules say. `large` are
    the cases of which it is asked in an ending that is too large for a survey, in the order in which they
    take turns, wins and draws in turn; () for a kind that needs a survey. There the themes are about the
    position, or, if the kind is about one move, about what it `leads_to`. `played` gives positions of its own
    instead, by chance, for a kind that asks how a method goes there; None where it does not ask.
    """

    title: str
    candidates: Callable[[Survey], NDArray[np.intp]]
    draft: Callable[[chess.Board], Draft | None]
    sides: tuple[int, ...] = (WHITE,)
    reads_card: bool = False
    by_heart: bool = False
    large: tuple[Case, ...] = ()
    leads_to: bool = False
    played: Callable[[str, random.Random], Iterator[chess.Board] | None] | None = None


def clamp(difficulty: int) -> int:
    """A difficulty within 1 and 100."""
    return max(1, min(100, difficulty))

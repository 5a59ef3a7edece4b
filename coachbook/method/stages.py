"""Endings taught in stages: each stage's goal can be forced, and what lies between is computed.

No short rule list is known to win with two bishops, or with bishop and knight. What can be taught is
the order of goals. A goal here is kept *for good*: the attacker can mate without ever being to move in
a position where it does not hold, so no stage has to be done twice. Whether it is so is worked out for
every position of the ending (`forcing`), and how long each stage takes at most.
"""

from dataclasses import dataclass
from functools import cache, cached_property

import chess
import numpy as np

from coachbook.endgame.smaller import Values
from coachbook.endgame.symmetry import Words
from coachbook.endgame.tables import Tables, shared_tables
from coachbook.errors import CoachbookError
from coachbook.method.bitboards import Mask
from coachbook.method.border import attacker, find_ending
from coachbook.method.forcing import NEVER, Forcing
from coachbook.method.positions import Feature


@dataclass(frozen=True, slots=True, eq=False)
class Stage:
    """One stage: a short name, and the goal in a child's words.

    `keeps` is what holds, each time the attacker is to move, once the goal is reached; None: the
    goal is mate.
    """

    name: str
    goal: str
    keeps: Feature[Mask] | None


@dataclass(frozen=True, slots=True, eq=False)
class Course:
    """An ending in stages, the last of which ends in mate. `pieces` are the attacker's ("BN")."""

    name: str
    title: str
    pieces: str
    summary: str
    stages: tuple[Stage, ...]


@dataclass(frozen=True, slots=True)
class StageFigures:
    """A stage over its whole table, positions counted up to symmetry, attacker to move.

    From `positions` in all, its goal (or a later one, or mate) can be forced in at most `longest`
    moves, `mean` on average, but for `failing` of them.
    """

    stage: str
    positions: int
    failing: int
    longest: int
    mean: float


@dataclass(frozen=True, slots=True)
class CourseFigures:
    """All stages of a course, beside the optimum: the longest mate of all, in moves."""

    stages: tuple[StageFigures, ...]
    optimum: int

    @property
    def longest(self) -> int:
        """No game by the stages takes more moves than this."""
        return sum(stage.longest for stage in self.stages)


class Staged:
    """A course worked out over its whole table; what is asked for is computed once."""

    def __init__(self, course: Course, tables: Tables) -> None:
        self.course = course
        self.forcing = Forcing(course.pieces, tables)
        self._goals = tuple(self._goal(stage) for stage in course.stages)
        self._moves: dict[int, Values] = {}

    def number(self, cell: tuple[int, ...]) -> int:
        """In which stage a won position is, counted from 0: after the last goal it has reached."""
        reached = [
            place for place, goal in enumerate(self._goals) if goal[cell[:-1]] >> np.uint64(cell[-1]) & 1
        ]
        return max(reached, default=-1) + 1

    def moves(self, number: int) -> Values:
        """How many moves the goal of this stage needs from everywhere, see `Forcing.moves_needed`."""
        if number not in self._moves:
            goal = self._from(number)
            self._moves[number] = self.forcing.moves_needed(goal, self._kept_before(number) | goal)
        return self._moves[number]

    @cached_property
    def figures(self) -> CourseFigures:
        """How long each stage takes, and from how many positions it can be forced."""
        everywhere = self.forcing.up_to_symmetry(self.forcing.won)
        return CourseFigures(
            stages=tuple(self._stage_figures(number) for number in range(len(self.course.stages))),
            optimum=int(self.forcing.mate_distances(everywhere).max()),
        )

    def _goal(self, stage: Stage) -> Words:
        if stage.keeps is None:
            return self.forcing.space.empty()
        return self.forcing.for_good(self.forcing.where(stage.keeps))

    def _from(self, number: int) -> Words:
        """The positions that have reached the goal of this stage or a later one."""
        reached: Words = np.bitwise_or.reduce(self._goals[number:])
        return reached

    def _kept_before(self, number: int) -> Words:
        return self._goals[number - 1] if number else self.forcing.won

    def _stage_figures(self, number: int) -> StageFigures:
        here = self.forcing.up_to_symmetry(self._kept_before(number) & ~self._from(number))
        moves = self.moves(number).reshape(-1)[here]
        forced = moves[moves != NEVER]
        return StageFigures(
            stage=self.course.stages[number].name,
            positions=len(moves),
            failing=len(moves) - len(forced),
            longest=int(forced.max()),
            mean=float(forced.mean()),
        )


@cache
def staged(course: Course) -> Staged:
    """The course worked out with the shared tables, kept for the life of the process: a few seconds."""
    return Staged(course, shared_tables())


def stage_of(board: chess.Board, course: Course) -> Stage:
    """The stage to work on in this position, attacker to move.

    Raises CoachbookError if the course does not fit the board, or the position is not won.
    """
    check_fits(board, course)
    whole = staged(course)
    return course.stages[whole.number(whole.forcing.cell(board))]


def check_fits(board: chess.Board, course: Course) -> None:
    """Raises CoachbookError if the course is not for this board, or the position is not won."""
    if not board.is_valid() or find_ending(board) != course.pieces or board.turn != attacker(board):
        raise CoachbookError(
            f"'{course.title}' does not fit '{board.fen()}'.",
            f"It needs a legal position of K{course.pieces}K with the stronger side to move.",
        )
    forcing = staged(course).forcing
    cell = forcing.cell(board)
    if not forcing.won[cell[:-1]] >> np.uint64(cell[-1]) & np.uint64(1):
        raise CoachbookError(f"'{board.fen()}' is not won.", "Show it as a draw.")

"""Endings taught in stages: each stage's goal can be forced, and what lies between is computed.

A *set* here is an array of words, one cell for each position (see `endgame.space`), with the attacker
(White) to move. "Forced" means against every defence, without ever losing the win.

No short rule list is known to win with two bishops, or with bishop and knight. What can be taught is
the order of goals. A goal here is kept *for good*: the attacker can mate without ever being to move in
a position where it does not hold, so no stage has to be done twice. Whether it is so is worked out for
every position of the ending (`Forcing`), and how long each stage takes at most.
"""

from dataclasses import dataclass
from functools import cache, cached_property

import chess
import numpy as np

from coachbook.endgame.census import Survey
from coachbook.endgame.material import Material
from coachbook.endgame.retrograde import Rules
from coachbook.endgame.smaller import IMPOSSIBLE, Values
from coachbook.endgame.space import BLACK, WHITE
from coachbook.endgame.symmetry import FLIP, Words, king_rows, turned
from coachbook.endgame.tables import Tables, shared_tables
from coachbook.errors import CoachbookError
from coachbook.method.border import attacker, find_ending
from coachbook.method.positions import Feature, Mask, Positions
from coachbook.wording.method_words import stage_goal, stage_name, summary_of, title_of

NEVER = -1
"""In place of a number of moves: it can't be forced."""


class Forcing:
    """One ending of king and pieces against a lone king; `pieces` as in "BN"."""

    def __init__(self, pieces: str, tables: Tables) -> None:
        self._survey = Survey(Material(pieces, ""), WHITE, tables)
        self.space = self._survey.space
        self._values = self._survey.values
        self._rules = Rules(self.space)
        self.won: Words = self._survey.where(lambda v: v > 0)
        self._reach = _packed(self._values[WHITE] != IMPOSSIBLE)
        can_move, self._mated = self._rules.can_move_and_mated(BLACK, self._reach)
        self._can_move = can_move & self._rules.legal[BLACK]
        self._cells = np.flatnonzero(unpacked(self.won))
        self._positions = self._all_won(pieces)
        self._kinds = [chess.Piece.from_symbol(letter).piece_type for letter in dict.fromkeys(pieces)]

    def where(self, feature: Feature[Mask]) -> Words:
        """The won positions in which something is to be seen."""
        found = np.zeros((*self.space.shape, 64), dtype=np.bool_)
        found.reshape(-1)[self._cells] = self._positions.see(feature)
        return _packed(found)

    def moves_needed(self, goal: Words, within: Words) -> Values:
        """In how many moves the goal, or mate, can be forced: shape (K, 64, ..., 64), int8.

        The attacker is never to move outside `within` before the goal is reached. 0 in the goal,
        NEVER where it can't be forced. The count is of the attacker's moves.
        """
        reached, count = goal, 0
        moves = np.where(unpacked(goal), np.int8(0), np.int8(NEVER))
        while True:
            more = self._one_move_before(reached) & within & ~reached
            if not more.any():
                return moves.reshape(*self.space.shape, 64)
            count += 1
            moves[unpacked(more)] = count
            reached = reached | more

    def for_good(self, kept: Words) -> Words:
        """The positions from which mate can be forced without being to move outside `kept` before."""
        return _packed(self.moves_needed(self.space.empty(), kept) != NEVER)

    def up_to_symmetry(self, positions: Words) -> Mask:
        """One cell for each class of symmetric positions of a set, in one row."""
        cells = self._survey.cells(positions)
        found = np.zeros((*self.space.shape, 64), dtype=np.bool_)
        found[tuple(cells.T)] = True
        return found.reshape(-1)

    def mate_distances(self, cells: Mask) -> Values:
        """The mate distances in moves of won positions (a row of cells as from `up_to_symmetry`)."""
        distances: Values = 127 - self._values[WHITE].reshape(-1)[cells]
        return distances

    def cell(self, board: chess.Board) -> tuple[int, ...]:
        """Where a board lies in arrays of shape (K, 64, ..., 64); whose move it is, is not looked at."""
        white = attacker(board)
        seen = turned(0 if white else FLIP)
        king, lone = (chess.lsb(board.kings & board.occupied_co[side]) for side in (white, not white))
        row, turn = king_rows(False)[seen[king]]
        men = [square for kind in self._kinds for square in board.pieces(kind, white)]
        return (row, *(turned(turn)[seen[square]] for square in (*men, lone)))

    def _one_move_before(self, reached: Words) -> Words:
        """Where some move mates, or leads to positions in which every reply leads into the set."""
        escapes = self._rules.unmover.some(BLACK, self._reach & ~reached)
        forced = (self._mated | (self._can_move & ~escapes)) & self._rules.legal[BLACK]
        return self._rules.unmover.some(WHITE, forced) & self.won

    def _all_won(self, pieces: str) -> Positions:
        row, *others, lone = np.unravel_index(self._cells, (*self.space.shape, 64))
        men = (self.space.kings[row], lone, *others)
        return Positions(pieces, [column.astype(np.int8) for column in men])


def _packed(cells: Mask) -> Words:
    return np.packbits(cells, axis=-1, bitorder="little").view(np.uint64)[..., 0]


def unpacked(positions: Words) -> Mask:
    """All cells of a set in one row: shape (cells,)."""
    return np.unpackbits(positions.view(np.uint8), bitorder="little").view(np.bool_)


@dataclass(frozen=True, slots=True, eq=False)
class Stage:
    """One stage: a code, by which `wording` knows its name, and the goal in a child's words with the
    `numbers` in it.

    `keeps` is what holds, each time the attacker is to move, once the goal is reached; None: the
    goal is mate.
    """

    code: str
    keeps: Feature[Mask] | None
    numbers: tuple[tuple[str, int], ...] = ()

    @property
    def goal(self) -> str:
        return stage_goal(self.code, dict(self.numbers))

    @property
    def name(self) -> str:
        return stage_name(self.code)


@dataclass(frozen=True, slots=True, eq=False)
class Course:
    """An ending in stages, the last of which ends in mate. `pieces` are the attacker's ("BN")."""

    name: str
    pieces: str
    stages: tuple[Stage, ...]

    @property
    def title(self) -> str:
        return title_of(self.name)

    @property
    def summary(self) -> str:
        return summary_of(self.name)


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


def check_fits_stages(board: chess.Board, course: Course) -> None:
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

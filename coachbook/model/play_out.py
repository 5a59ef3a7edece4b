"""A play-out as it was judged, move by move."""

from dataclasses import dataclass

from coachbook.model.club import PlayOutEnd
from coachbook.model.marks import Arrow
from coachbook.model.position import Position
from coachbook.model.syllabus import Goal


@dataclass(frozen=True, slots=True)
class PlayedMove:
    """One of the student's moves: its number (from 1), as it is written (SAN), and what is to be
    said of it. `before` is the position in which it was made, `better` a better move (SAN) or "".
    `arrow` is the move to draw there: the better one, or else the move itself; `played` is the move
    itself where there is a better one.
    """

    number: int
    san: str
    before: Position
    told: str
    better: str = ""
    arrow: Arrow | None = None
    played: Arrow | None = None


@dataclass(frozen=True, slots=True)
class JudgedPlayOut:
    """What the tables and the unit's method say of a play-out.

    `optimum` is the least number of the student's moves against best defence, None for a draw;
    `allowance` and `used` count the student's moves. `slip` is the short code of the first slip
    and `first_slip` the move in which it happened; without a slip ("") it is the slowest move, if one
    was slow. `off_method` are moves that the method's rule would not have made; `praise` is the best
    moment. `line` is the whole game as numbered SAN.
    """

    start: Position
    goal: Goal
    allowance: int
    optimum: int | None
    end: PlayOutEnd
    used: int
    line: str
    moves: tuple[str, ...]
    slip: str = ""
    first_slip: PlayedMove | None = None
    off_method: tuple[PlayedMove, ...] = ()
    praise: PlayedMove | None = None
    method_title: str = ""

    @property
    def to_mend(self) -> tuple[PlayedMove, ...]:
        """The moves off the method of which to tell: those that had a better one, without the first
        slip, of which enough is said already."""
        slip = self.first_slip.number if self.first_slip else 0
        return tuple(move for move in self.off_method if move.better and move.number != slip)

"""A play-out: the card it is played from, how it was judged, move by move, and a game at a board as far as
it has come.

The code of a card says which play-out it is and nothing of a student, so that it never changes
and needs no place in the book: PLAY-QUEEN-BOX-2 is the second play-out of the unit queen-box.
"""

import re
from dataclasses import dataclass
from datetime import date, datetime
from enum import StrEnum

from coachbook.errors import CoachbookError
from coachbook.model.facts import PlayOutEnd, is_within
from coachbook.model.position import Arrow, Position
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
    comment: str
    better: str = ""
    arrow: Arrow | None = None
    played: Arrow | None = None


class HowGood(StrEnum):
    """How well a goal was reached: nobody does it faster; nothing was let go on the way; or reached all the
    same."""

    QUICKEST = "quickest"
    CLEAN = "clean"
    REACHED = "reached"


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
    def how_good(self) -> HowGood | None:
        """None where the goal was not reached within what was allowed."""
        if not is_within(self.goal, self.end, self.used, self.allowance):
            return None
        if self.goal is Goal.WIN and self.optimum is not None and self.used <= self.optimum:
            return HowGood.QUICKEST
        return HowGood.REACHED if self.slip else HowGood.CLEAN

    @property
    def to_mend(self) -> tuple[PlayedMove, ...]:
        """The moves off the method that are worth a comment: those that had a better one, without the first
        slip, of which enough is said already."""
        slip = self.first_slip.number if self.first_slip else 0
        return tuple(move for move in self.off_method if move.better and move.number != slip)


class GameEnd(StrEnum):
    """How a play-out against coachbook ended, for the student: the Laws of Chess ended it, or a draw was held
    for as long as was asked, or the student wanted to go on no more."""

    MATE = "mate"
    MATED = "mated"
    STALEMATE = "stalemate"
    REPETITION = "repetition"
    FIFTY_MOVES = "fifty moves"
    TOO_FEW_MEN = "too few men"
    HELD = "held"
    STOPPED = "stopped"


_CODE = re.compile(r"PLAY-(?P<unit>[A-Z0-9]+(-[A-Z0-9]+)*)-(?P<number>[1-9][0-9]?)")


def card_code(unit: str, number: int) -> str:
    """The code of a unit's play-out; numbers count from 1. `read_card_code` reads it back."""
    return f"PLAY-{unit.upper()}-{number}"


def read_card_code(code: str) -> tuple[str, int] | None:
    """The unit's code and the number of the play-out, whatever the case, and with spaces that may have
    come in where it was read; None for any other code."""
    match = _CODE.fullmatch("".join(code.split()).upper())
    return (match["unit"].lower(), int(match["number"])) if match else None


@dataclass(frozen=True, slots=True)
class PlayOutCard:
    """One position to play out, for a student whose name is printed or ("") written in by hand.

    `code` is upper-case letters, digits and hyphens (it is also printed as a QR code);
    `white` says whether the student has White, `allowance` is in moves of the student, who is
    to reach the `goal` with them. A card `for_two` is for two neighbours, who play it against each other,
    change sides, and count points.
    """

    code: str
    club: str
    unit_title: str
    level_title: str
    position: Position
    white: bool
    allowance: int
    goal: Goal = Goal.WIN
    student: str = ""
    for_two: bool = False

    def __post_init__(self) -> None:
        if self.allowance < 1:
            raise CoachbookError(f"Card {self.code} allows no move.", "An allowance is one move or more.")


@dataclass(frozen=True, slots=True)
class BoardGame:
    """A game that was `begun_at` a moment, from a `play_out` (from 1) of a unit, as on its card or
    `mirrored` left to right. Its `number` was drawn by chance, and is the seed of coachbook's replies, too.
    `moves` are those of both sides in UCI, and `clocks` say how many seconds after the beginning each was
    made; `moved_at` is when the last one was, or the beginning. `stopped` says that the coach ended it, and
    `entry` is the number of the log entry that holds it: None while it goes on, and once it was taken out.
    """

    number: int
    student_id: int
    student: str
    on: date
    unit: str
    play_out: int
    mirrored: bool
    begun_at: datetime
    moved_at: datetime
    moves: tuple[str, ...] = ()
    clocks: tuple[int, ...] = ()
    stopped: bool = False
    entry: int | None = None

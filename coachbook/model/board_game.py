"""A game of a student's against coachbook, at a board in the room, as far as it has come."""

from dataclasses import dataclass
from datetime import date, datetime


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

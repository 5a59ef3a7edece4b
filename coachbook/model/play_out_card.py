"""A play-out card as it is printed: one position to play out against the coach."""

from dataclasses import dataclass

from coachbook.errors import CoachbookError
from coachbook.model.position import Position


@dataclass(frozen=True, slots=True)
class PlayOutCard:
    """One position to mate from, for a student whose name is written in by hand.

    `code` is upper-case letters, digits and hyphens (it is also printed as a QR code);
    `white` tells whether the student has White, `allowance` is in moves of the student.
    """

    code: str
    club: str
    unit_title: str
    level: int
    position: Position
    white: bool
    allowance: int

    def __post_init__(self) -> None:
        if self.allowance < 1:
            raise CoachbookError(f"Card {self.code} allows no move.", "An allowance is one move or more.")

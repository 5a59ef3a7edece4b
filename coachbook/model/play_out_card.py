"""A play-out card as it is printed: one position to play out against the coach.

The code of a card says which play-out it is and nothing of a student, so that it never changes
and needs no place in the book: PLAY-QUEEN-BOX-2 is the second play-out of the unit queen-box.
"""

import re
from dataclasses import dataclass

from coachbook.errors import CoachbookError
from coachbook.model.position import Position
from coachbook.model.syllabus import Goal

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
    `white` tells whether the student has White, `allowance` is in moves of the student, who is
    to reach the `goal` with them.
    """

    code: str
    club: str
    unit_title: str
    level: int
    position: Position
    white: bool
    allowance: int
    goal: Goal = Goal.WIN
    student: str = ""

    def __post_init__(self) -> None:
        if self.allowance < 1:
            raise CoachbookError(f"Card {self.code} allows no move.", "An allowance is one move or more.")

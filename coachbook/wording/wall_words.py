"""What stands under the boards of the wall: in a few quiet words, how it goes."""

from enum import StrEnum, auto

from coachbook.model.syllabus import Goal
from coachbook.wording.counting import counted


class BoardSign(StrEnum):
    """What a coach looks for: a game that is over, a win or draw that is gone, a student who does not
    move."""

    DONE = auto()
    SLIPPED = auto()
    STUCK = auto()


def sign_in_words(sign: BoardSign, goal: Goal, end: str, minutes: int, *, is_taken_out: bool = False) -> str:
    """Such as "stuck: no move for 3 minutes"; `end` says how the game ended, and `is_taken_out` that it is in
    the log no more."""
    if sign is BoardSign.DONE:
        return f"done: {end[0].lower()}{end[1:]}{' Not in the log.' if is_taken_out else ''}"
    if sign is BoardSign.SLIPPED:
        return f"slipped: the {'win' if goal is Goal.WIN else 'draw'} is gone"
    return f"stuck: no move for {counted(minutes, 'minute')}"

"""What a conversation says and asks, as values: codes with parameters, which `wording` makes English of."""

from collections.abc import Mapping
from dataclasses import dataclass
from enum import StrEnum, auto


class Say(StrEnum):
    """What can be said or asked while something is typed in."""

    # Everywhere
    BLANK = auto()
    NUMBERED = auto()
    REFUSED = auto()
    NOT_ASIDE = auto()
    NOT_KEPT = auto()
    PLAN_STAYS = auto()
    KEPT = auto()
    KEEP = auto()
    TYPE_KEEP = auto()
    GO_ON = auto()
    # Confirmations
    PLAN_ANEW = auto()
    TAKE_BACK = auto()
    BUILD = auto()
    REMOVE = auto()
    LETTERS_RIGHT = auto()
    TAKE_LAST = auto()
    CLOSE_EVENING = auto()
    LOG_ANYWAY = auto()
    # Attendance
    WHO_IS_ABSENT = auto()
    ABSENT = auto()
    STILL_ABSENT = auto()
    THERE = auto()
    TYPED_ABSENT = auto()
    CHANGED = auto()
    ATTENDANCE_LOGGED = auto()
    WRONG = auto()
    THERE_NOW = auto()
    # Answers
    TALLY = auto()
    SHEET = auto()
    LINE = auto()
    HELP = auto()
    NO_ONE_BEFORE = auto()
    FEWER = auto()
    REST = auto()
    UNREADABLE = auto()
    ITEM_AGAIN = auto()
    LETTERS = auto()
    MARKS = auto()
    WAS = auto()
    STOPPED = auto()
    TYPED_ANSWERS = auto()
    NO_ANSWERS = auto()
    DROPPED = auto()
    CHOICE = auto()
    WHICH_AGAIN = auto()
    ALL_LOGGED = auto()
    # Play-outs and notes
    PLAY_OUTS = auto()
    PLAY_OUT = auto()
    PLAY_OUTS_HELP = auto()
    PLAYED = auto()
    PLAYED_BEFORE = auto()
    HOW_IT_WENT = auto()
    HOW_MANY_MOVES = auto()
    NOTES = auto()
    NOTE = auto()
    NOTES_HELP = auto()
    NOTED = auto()
    AGAIN = auto()
    # What moves to the next evening
    WHAT_IS_LEFT = auto()
    SAID_BEFORE = auto()
    NOT_FINISHED = auto()
    CLOSED = auto()
    MOVED = auto()
    MOVED_WITH_IT = auto()
    APART = auto()
    CATCH_UP = auto()
    NOT_LOGGED = auto()
    HALF_LOGGED = auto()
    LOG_THE_REST = auto()
    BRING_BACK_BY = auto()
    BRING_BACK = auto()
    DUE_AND_FINE = auto()


class Alone(StrEnum):
    """What an empty line says: yes, no, or neither (then the words of the question say what)."""

    YES = auto()
    NO = auto()
    OTHER = auto()


@dataclass(frozen=True)
class Told:
    """Something that is said; the names of its `values` are those of its words' parameters."""

    code: Say
    values: Mapping[str, object]


@dataclass(frozen=True)
class Question(Told):
    """Something that is asked, and is answered by one line."""

    alone: Alone = Alone.OTHER


def tell(code: Say, /, **values: object) -> Told:
    """What is said, with its parameters."""
    return Told(code, values)


def ask(code: Say, alone: Alone = Alone.OTHER, /, **values: object) -> Question:
    """What is asked, with its parameters."""
    return Question(code, values, alone)

"""The one error that coachbook raises when it cannot go on, and what it advises to do then."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from enum import StrEnum


class Step(StrEnum):
    """What somebody can do about an error, or next. How it is done there, each front end says: one names
    a command, another a button."""

    ADD_A_STUDENT = "add a student"
    ASK_FOR_MORE_ITEMS = "ask for more items"
    BUILD_THE_ENDING = "build the tables of an ending"  # ending
    CHOOSE_FORMS_OR_EACH = "choose two forms, or sheets of their own"
    CHOOSE_GROUP_OR_STUDENT = "choose a group, or a student"
    CLOSE_THE_EVENING = "close the evening"  # on
    FINISH_LOGGING = "finish what was typed"
    LEAVE_OUT_FORMS = "leave out the two forms"
    LEAVE_OUT_FORMS_AND_REVIEW = "leave out the two forms and the review"
    LIST_THE_EVENINGS = "list the evenings of the term"
    LIST_THE_KINDS = "list the kinds of exercise"
    LIST_THE_LOG = "list the log"
    LOG_ALL_THE_SAME = "log it all the same"
    LOG_ANSWERS = "log answers"  # sheet
    LOG_ATTENDANCE = "log attendance"
    LOOK_AT_OWN_POSITIONS = "look at own positions"
    MAKE_A_CLUB = "make a club"
    MAKE_A_GROUP = "make a group"
    MAKE_A_SHEET = "make a sheet"
    MAKE_ONE_EACH = "make each student a sheet of their own"
    NAME_A_BEGUN_UNIT = "name a unit that the student has begun"  # student, units
    NAME_A_GROUP = "name a group"  # groups
    NAME_A_GROUP_OR_ALL = "name a group, or take all"  # groups
    NAME_AN_ALLOWANCE = "name the moves that are allowed"
    NAME_ANY_UNIT = "name a unit"
    NAME_THE_GROUP_TO_SHOW = "name the group to show"  # groups
    NAME_THE_LAST_EVENING = "name the last evening that is logged"  # on
    NAME_THE_UNIT = "name the unit of a position"
    PIN_LATER_OR_UNPIN = "pin the unit to a later evening, or take its pin away"  # unit
    PLAN_A_TERM = "plan a term"
    PLAN_A_TERM_OR_LOG = "plan a term, or log what happened"
    PLAN_FROM_EARLIER = "plan anew from an earlier day"  # on
    PRINT_AGAIN = "print sheets again"  # sheets
    PUT_STUDENTS_IN = "put students in the group"
    RESTORE_A_BACKUP = "restore a backup"
    RESTORE_AND_PRINT_AGAIN = "restore a backup, and print the sheet again"
    RESTORE_THE_BOOK = "restore a backup of the book"
    SHOW_THE_TERM = "show the term"
    UNDO_AND_LOG_AGAIN = "take it back, and log it again"
    UNDO_ITS_LOG = "take back the log of the evening"
    UNPIN = "take the unit's pin away"  # unit


@dataclass(frozen=True, slots=True)
class Advice:
    """A step, and `values` for what it is about: those that stand beside it in `Step`, as they are shown."""

    step: Step
    values: Mapping[str, str] = field(default_factory=dict, hash=False)


InWords = Callable[[Advice], str]
"""How a front end words a step."""


class CoachbookError(Exception):
    """What is wrong and where (`message`), and what to do about it (`hint`): a sentence that holds for every
    front end, or advice that each words in its own way."""

    def __init__(self, message: str, hint: str | Advice = "") -> None:
        super().__init__(message)
        self.message = message
        self.hint = hint

    def __str__(self) -> str:
        return self.told(lambda _: "")

    def told(self, in_words: InWords) -> str:
        """The message and the hint, with advice as a front end words it."""
        hint = in_words(self.hint) if isinstance(self.hint, Advice) else self.hint
        return f"{self.message} {hint}".strip()


class InterruptedEntryError(CoachbookError):
    """The coach stopped an interactive entry; nothing of it was saved."""

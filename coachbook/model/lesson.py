"""A lesson as it is printed for the coach: one unit on one evening."""

from dataclasses import dataclass
from datetime import date

from coachbook.model.exercise import Plan
from coachbook.model.marks import Marks
from coachbook.model.position import Position
from coachbook.model.syllabus import Unit
from coachbook.model.term import Slot


@dataclass(frozen=True, slots=True)
class RuleInWords:
    """A rule as a child is told it, under its number. `short` are the few words by which a worksheet
    calls it, or ""."""

    number: int
    words: str
    short: str = ""

    @property
    def head(self) -> str:
        """What stands before the rule on paper, such as "Build the fence:", or ""."""
        return f"{self.short[:1].upper()}{self.short[1:]}:" if self.short else ""


@dataclass(frozen=True, slots=True)
class LessonSheet:
    """Everything that a printed lesson plan shows.

    `slots` are the evening's stretches of time, with titles of units in place of their codes, or ()
    if the lesson is in no term plan; `at` is the time of day at which the evening starts, or "".
    `demonstration_boards` are the turning points of `demonstration`, first position first,
    each with its caption; at most five are printed in a row. `rules` are the method's rules
    in a child's words, in order; `proof_line` tells how the method is known to work, or is "".
    """

    unit: Unit
    level_title: str
    club: str
    group: str
    on: date
    slots: tuple[Slot, ...]
    demonstration: Plan
    demonstration_boards: tuple[tuple[Position, Marks, str], ...]
    rules: tuple[RuleInWords, ...]
    proof_line: str
    at: str = ""

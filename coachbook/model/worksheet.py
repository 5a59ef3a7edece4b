"""An exercise with all that it says, and a worksheet of them as it is stored and printed again."""

from dataclasses import dataclass
from datetime import date
from enum import StrEnum

from coachbook.errors import CoachbookError
from coachbook.model.claims import Claim
from coachbook.model.position import Marks, Position

Fact = bool | int | str | tuple[str, ...]
"""A number, squares or moves by name, or one of a few codes such as "white", "queen" or "draw"."""


@dataclass(frozen=True, slots=True)
class Saying:
    """A sentence, or a part of one.

    `code` names it among those of `wording`, `facts` are all that it states, by name, in alphabetical
    order; `words` is how it was put when it was made. They are kept to be printed again and nothing else:
    nobody reads them to decide anything. Sentences that were made before there were codes have none ("").
    """

    code: str
    facts: tuple[tuple[str, Fact], ...] = ()
    words: str = ""

    def fact(self, name: str) -> Fact | None:
        """What it states by this name; None if it states nothing of the kind."""
        return dict(self.facts).get(name)


NOTHING = Saying("")
"""Where nothing is said."""


class AnswerForm(StrEnum):
    """How a student writes the answer, and so how its place on paper looks."""

    NUMBER = "number"
    MOVES = "moves"
    CHOICE = "choice"
    SQUARES = "squares"
    RACE = "race"
    LINE = "line"


@dataclass(frozen=True, slots=True)
class Answer:
    """The right answer: a number as text, moves in SAN with English letters, one of the
    `options` (which are codes), squares by name (marked on the diagram, where all are needed), a race of
    two pawns as "4 3 black" (the moves of White's pawn, those of Black's, and who queens first), or the
    moves of a line in their order, between which the other side's `replies` are printed (SAN).

    With `all_needed` the student must write every accepted move or square, else any one will do.
    An empty `accepted` for moves means that the right answer is "none" (written "-").
    `numbers` are those printed beside the options, () where none are.
    `wrong` and `missed` name the slip of an answer that is wrong, or not complete, where the
    rules of chess know no better name for it (see `slips.Slip`). Of a race `wrong` names a wrong
    number, and `missed` the wrong side where both numbers are right.
    """

    form: AnswerForm
    accepted: tuple[str, ...]
    all_needed: bool = True
    wrong: str = ""
    missed: str = ""
    options: tuple[str, ...] = ()
    numbers: tuple[int, ...] = ()
    replies: tuple[str, ...] = ()

    def __post_init__(self) -> None:
        if self.form in (AnswerForm.NUMBER, AnswerForm.RACE) and len(self.accepted) != 1:
            raise CoachbookError(f"A {self.form} answer has exactly one accepted value.")
        if (self.form is AnswerForm.CHOICE) != bool(self.options):
            raise CoachbookError("A choice has options, and no other form of answer has.")
        if self.options and not (len(self.accepted) == 1 and set(self.accepted) <= set(self.options)):
            raise CoachbookError("A choice has exactly one right option.")
        if self.numbers and not len(self.numbers) == len({*self.numbers}) == len(self.options):
            raise CoachbookError("Each option has a number of its own, or none has one.")
        if len(self.replies) != (len(self.accepted) - 1 if self.form is AnswerForm.LINE else 0):
            raise CoachbookError("A line has a reply to each of its moves but the last.")


@dataclass(frozen=True, slots=True)
class PlanStep:
    """One move of a written plan: the move (SAN), why, what it did, and his reply (SAN or "")."""

    move: str
    rule: Saying
    achieved: Saying
    reply: str = ""

    @property
    def achieved_besides(self) -> Saying:
        """What it did, as far as the reason does not tell it: nothing for a mate by the rule "mate"."""
        told_mate = dict(self.achieved.facts) == {"mate": True}
        is_told = told_mate and "mate" in dict(self.rule.facts).values()
        return NOTHING if is_told else self.achieved


@dataclass(frozen=True, slots=True)
class Plan:
    """A written plan from a position. `source` says how it is known to be right.

    For example "Queen's box, proven from here against every defence: ..." or "one computed line ...".
    """

    start: Position
    source: Saying
    steps: tuple[PlanStep, ...]


@dataclass(frozen=True, slots=True)
class Solution:
    """What the answer key shows: a marked diagram, the answer in words, a plan, warnings."""

    marks: Marks
    text: Saying
    plan: Plan | None = None
    watch_for: tuple[Saying, ...] = ()


@dataclass(frozen=True, slots=True)
class Exercise:
    """A verified task.

    `kind` is the kind's file name, `unit` a unit code, `difficulty` 1 (easy) to 100,
    `key` the same for all positions that differ only by turning or mirroring the board,
    `seed` reproduces the exercise.
    """

    kind: str
    unit: str
    position: Position
    task: Saying
    task_marks: Marks
    answer: Answer
    solution: Solution
    claims: tuple[Claim, ...]
    difficulty: int
    key: str
    seed: int


@dataclass(frozen=True, slots=True)
class RuleCard:
    """The rules of a method as its card has them: its title, and each rule with its number."""

    title: str
    rules: tuple[tuple[int, str], ...]


@dataclass(frozen=True, slots=True)
class Worksheet:
    """Items in printed order, with the headings of the page, and what helps with them.

    `code` is upper-case letters, digits and hyphens (it is also printed as a QR code).
    No student's name is part of it: names are given when printing. An item whose unit is not
    the sheet's is there for review. `form` distinguishes parallel sheets: "A", "B", or "" for a
    sheet that has none beside it; the code of a form ends with it (QB-4K7M2-A). `titles` are the
    codes and titles of the units on it, where the syllabus had them when it was made.

    `evening` is the one for which it was made, if that is known.
    Of an assessment `assessed` are the units that it asks for, () of any other sheet.
    `words` say what words of the tasks mean, `cards` are those whose rules some task says to read. `example`
    is one more exercise, shown with its answer, of a kind that is new to all who get the sheet.
    """

    code: str
    club: str
    unit: str
    unit_title: str
    level: int
    level_title: str
    made_on: date
    seed: int
    items: tuple[Exercise, ...]
    form: str = ""
    titles: tuple[tuple[str, str], ...] = ()
    words: tuple[str, ...] = ()
    cards: tuple[RuleCard, ...] = ()
    example: Exercise | None = None
    assessed: tuple[str, ...] = ()
    evening: date | None = None

    def __post_init__(self) -> None:
        if not self.items:
            raise CoachbookError(f"Worksheet {self.code} has no exercises.")
        if self.form and not self.code.endswith(f"-{self.form}"):
            raise CoachbookError(f"The code {self.code} is not of form {self.form}.")

    @property
    def shared_code(self) -> str:
        """The code without the form: the same for parallel sheets."""
        return self.code.removesuffix(f"-{self.form}") if self.form else self.code

    def title_of(self, unit: str) -> str:
        """The title of a unit on the sheet, by its code; the words of the code if it was made without."""
        return dict(self.titles).get(unit, self.unit_title if unit == self.unit else unit.replace("-", " "))

"""What is printed besides worksheets, each document one value."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date

from coachbook.model.facts import Attendance, ItemResult, Observation, PlayOutResult, SavedSheet
from coachbook.model.play_outs import PlayOutCard
from coachbook.model.position import Position
from coachbook.model.progress import Standing, UnitProgress
from coachbook.model.syllabus import Unit
from coachbook.model.term_plan import Slot
from coachbook.model.worksheet import Exercise


@dataclass(frozen=True, slots=True)
class UnitColumn:
    """A unit in a table: its code, title and level."""

    code: str
    title: str
    level: int


@dataclass(frozen=True, slots=True)
class FrequentSlip:
    """A slip of a group: how often, in words ("stalemated 5 times"), and the titles of the units
    in which it happened, the most frequent first."""

    slip: str
    count: int
    told: str
    units: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class TrendPoint:
    """An evening of a group: answers right of those tried, and how many units were secure by then
    (the sum over the students)."""

    on: date
    right: int
    tried: int
    secure: int


@dataclass(frozen=True, slots=True)
class GroupOverview:
    """A group on a day: for each student (by name) the standing in each of `units`, in their order; `missed`
    has those who were not there for some lessons and have yet to catch up, each with their titles."""

    club: str
    group: str
    on: date
    units: tuple[UnitColumn, ...]
    rows: tuple[tuple[str, tuple[Standing, ...]], ...]
    slips: tuple[FrequentSlip, ...]
    trend: tuple[TrendPoint, ...]
    missed: tuple[tuple[str, str], ...] = ()


@dataclass(frozen=True, slots=True)
class FamilyReport:
    """One student's progress for the family, in plain words.

    `can` are aims the student holds, `fading` those to be refreshed, `working` those in hand,
    `next_up` what comes next; each is a sentence. `evenings` counts those on which the student
    was there. `at_home` is one position to play together, or None. `played` are sentences about the
    goals that were reached at the board.
    """

    club: str
    student: str
    on: date
    evenings: int
    can: tuple[str, ...]
    fading: tuple[str, ...]
    working: tuple[str, ...]
    next_up: tuple[str, ...]
    at_home: PlayOutCard | None
    played: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Certificate:
    """A completed level: every unit of it was secure once. `can` are the aims of its units, `days` when each
    was earned, `on` when the last of them was."""

    club: str
    student: str
    level: int
    level_title: str
    can: tuple[str, ...]
    on: date
    days: tuple[date, ...]


@dataclass(frozen=True, slots=True)
class UnitFigures:
    """A unit in numbers: how many students were secure at the term's start and end, how many have begun
    it, and the answers of the term."""

    title: str
    level: int
    secure_before: int
    secure_now: int
    begun: int
    right: int
    tried: int


@dataclass(frozen=True, slots=True)
class TermSummary:
    """The term in numbers, without a name. `present` of `expected` are marks of attendance."""

    club: str
    starts_on: date
    ends_on: date
    students: int
    groups: int
    evenings: int
    present: int
    expected: int
    right: int
    tried: int
    play_outs: int
    play_outs_within: int
    units: tuple[UnitFigures, ...]
    slips: tuple[FrequentSlip, ...]


@dataclass(frozen=True, slots=True)
class PreparedPapers:
    """What was made ready for a student for an evening of a group: the code of a sheet ("" for none) with
    what was `wanted` on it, and codes of cards."""

    group: str
    on: date
    sheet: str
    wanted: str
    cards: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class OtherText:
    """What was written of somebody else, or names a group, and may mention the student; names of other
    students are left out. `is_sure` says that the student's whole name stands there."""

    what: str
    on: date | None
    unit: str
    text: str
    is_sure: bool


@dataclass(frozen=True, slots=True)
class KeptRow:
    """A row of the book that belongs to the student: its table, and its columns with their values."""

    table: str
    values: tuple[tuple[str, object], ...]


@dataclass(frozen=True, slots=True)
class StudentRecord:
    """What the book holds under one student's name, and what is computed from it on a day.

    `attendance` and `answers` are what holds; `rows` are all that is kept, also what was put right later.
    `why_due` has a paragraph for each unit that is due or fading.
    """

    club: str
    student: str
    on: date
    groups: tuple[str, ...]
    attendance: tuple[Attendance, ...]
    sheets: tuple[SavedSheet, ...]
    answers: tuple[ItemResult, ...]
    play_outs: tuple[PlayOutResult, ...]
    observations: tuple[Observation, ...]
    progress: tuple[UnitProgress, ...]
    unit_titles: tuple[tuple[str, str], ...]
    why_due: tuple[str, ...] = ()
    prepared: tuple[PreparedPapers, ...] = ()
    on_others: tuple[OtherText, ...] = ()
    rows: tuple[KeptRow, ...] = ()


@dataclass(frozen=True, slots=True)
class RuleInWords:
    """A rule in words for a child, under its number. `short` are the few words by which a worksheet
    calls it, or ""."""

    number: int
    words: str
    short: str = ""

    @property
    def head(self) -> str:
        """What stands before the rule on paper, such as "Build the fence:", or ""."""
        return f"{self.short[:1].upper()}{self.short[1:]}:" if self.short else ""


@dataclass(frozen=True, slots=True)
class ShownStep:
    """A move of a demonstration: its number ("1." for White, "1..." for Black), SAN, and what is said."""

    number: str
    san: str
    words: str


@dataclass(frozen=True, slots=True)
class ShownLine:
    """A demonstration: where it starts and with which task, its moves, where it ends, and with what."""

    start: Position
    task: str
    steps: tuple[ShownStep, ...]
    end: Position
    ends: str


@dataclass(frozen=True, slots=True)
class LessonSheet:
    """Everything that a printed lesson plan shows.

    `slots` are the evening's stretches of time, or how a unit's minutes are usually shared; `titles` are
    those of units by their codes; `at` is the time of day at which the evening starts, or "". `shows` are
    the lines to play for the class, `homework` an exercise to take home, if there is one. `rules` are the
    method's rules in a child's words, in order, `definitions` what their words mean; `proof_line` says how
    the method is known to work, or is "". `new_kinds` are the kinds of exercise that come for the first time.
    """

    unit: Unit
    level_title: str
    club: str
    group: str
    on: date
    slots: tuple[Slot, ...]
    shows: tuple[ShownLine, ...]
    homework: Exercise | None
    rules: tuple[RuleInWords, ...]
    proof_line: str
    definitions: tuple[str, ...] = ()
    at: str = ""
    titles: Mapping[str, str] = field(default_factory=dict)
    new_kinds: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class StudentPapers:
    """What one student is given: the code of a sheet with what is on it ("The queen's box (4), ..."), ""
    for none, and the codes of cards."""

    student: str
    sheet: str
    holds: str
    cards: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Reminder:
    """A student who is due in a unit, why, and what of it is given tonight."""

    student: str
    reason: str
    give: str


@dataclass(frozen=True, slots=True)
class TimedSlot:
    """A stretch of the evening: when it begins ("18:30", or "0:20" after the start), what is done, and
    whether the coach is needed."""

    begins: str
    minutes: int
    what: str
    with_coach: bool


@dataclass(frozen=True, slots=True)
class LateStudent:
    """A student with the units that were missed and are not begun yet, and how one is caught up tonight."""

    student: str
    missing: str
    tonight: str


@dataclass(frozen=True, slots=True)
class GroupEvening:
    """A group's evening: its plan, papers, who is due in what, and who has to catch up."""

    group: str
    slots: tuple[TimedSlot, ...]
    papers: tuple[StudentPapers, ...]
    reminders: tuple[Reminder, ...]
    missed: tuple[LateStudent, ...] = ()


@dataclass(frozen=True, slots=True)
class EveningCover:
    """The first page of the coach's file: what there is, and what to think of.

    `printed` are the parts of the file for the printer, each with its number of pages, and `pages` how many
    the file has; `notes` what could not be had as planned; `afterwards` how the evening is closed.
    """

    club: str
    on: date
    groups: tuple[GroupEvening, ...]
    printed: tuple[tuple[str, int], ...]
    pages: int
    afterwards: str
    notes: tuple[str, ...] = ()

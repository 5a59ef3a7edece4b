"""What is printed about students and groups: each report is one value, made from the book's facts."""

from dataclasses import dataclass
from datetime import date

from coachbook.model.club import Attendance, ItemResult, Observation, PlayOutResult, SavedSheet
from coachbook.model.play_out_card import PlayOutCard
from coachbook.model.progress import Standing, UnitProgress


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
    """A group on a day: for each student (by name) the standing in each of `units`, in their order."""

    club: str
    group: str
    on: date
    units: tuple[UnitColumn, ...]
    rows: tuple[tuple[str, tuple[Standing, ...]], ...]
    slips: tuple[FrequentSlip, ...]
    trend: tuple[TrendPoint, ...]


@dataclass(frozen=True, slots=True)
class FamilyReport:
    """One student's progress for the family, in plain words.

    `can` are aims the student holds, `fading` those to be refreshed, `working` those in hand,
    `next_up` what comes next; each is a sentence. `evenings` counts those on which the student
    was there. `at_home` is one position to play together, or None.
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


@dataclass(frozen=True, slots=True)
class Certificate:
    """A completed level: every unit of it is secure. `can` are the aims of its units."""

    club: str
    student: str
    level: int
    level_title: str
    can: tuple[str, ...]
    on: date


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
    students are left out. `is_sure` tells that the student's whole name stands there."""

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
    prepared: tuple[PreparedPapers, ...] = ()
    on_others: tuple[OtherText, ...] = ()
    rows: tuple[KeptRow, ...] = ()

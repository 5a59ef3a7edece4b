"""Everything that is made ready for an evening, as the cover tells it."""

from dataclasses import dataclass
from datetime import date


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
class GroupEvening:
    """A group's evening: its plan, papers, who is due in what, and who has to catch up.

    `missed` holds students with what was new on evenings that they missed, and is not begun yet.
    """

    group: str
    slots: tuple[TimedSlot, ...]
    papers: tuple[StudentPapers, ...]
    reminders: tuple[Reminder, ...]
    missed: tuple[tuple[str, str], ...] = ()


@dataclass(frozen=True, slots=True)
class EveningCover:
    """The first page of the coach's file: what there is, and what to think of.

    `printed` are the parts of the file for the printer, each with its number of pages; `notes` what
    could not be had as planned.
    """

    club: str
    on: date
    groups: tuple[GroupEvening, ...]
    printed: tuple[tuple[str, int], ...]
    notes: tuple[str, ...] = ()

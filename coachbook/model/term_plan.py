"""A term's plan: sessions (club evenings) and what each is for. It holds no student's name."""

from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime, timedelta
from enum import StrEnum
from itertools import accumulate


class SlotKind(StrEnum):
    """What a stretch of a session is for."""

    REVIEW = "review"
    NEW = "new"
    PRACTICE = "practice"
    PLAY_OUT = "play-out"
    ASSESSMENT = "assessment"
    BUFFER = "spare"


class Why(StrEnum):
    """How a slot came to stand where it stands."""

    AS_TOLD = "as told"
    """In the words of an earlier version: `names` holds them."""
    REVIEW = "review"
    STUDENTS_DUE = "students due"
    """`counts` are the units with most students, `number` the units besides; `before_next` evening."""
    NOBODY_DUE = "nobody due"
    NEXT = "next"
    AGAIN = "again"
    PINNED = "pinned"
    """These three build on the units in `names`."""
    GOES_ON = "goes on"
    """`number` is how many minutes were left."""
    WORKSHEET = "worksheet"
    PLAY_OUTS = "play-outs"
    SPARE_CARDS = "spare cards"
    SPARE_GAMES = "spare games"
    QUIET_SHEET = "quiet sheet"
    QUIET_GAMES = "quiet games"
    """These two while the coach is with the groups in `names`."""
    LEVEL_DONE = "level done"
    """`number` is the level."""
    LAST_EVENING = "last evening"
    """`number` is a level that is done by then and was not assessed before, or 0."""
    BUFFER = "buffer"


NAMES_GROUPS = (Why.QUIET_SHEET, Why.QUIET_GAMES)
"""The reasons that name groups."""


@dataclass(frozen=True, slots=True)
class Reason:
    """Why a slot stands where it stands, and of what that is said: see `Why` for what belongs to which."""

    why: Why
    number: int = 0
    names: tuple[str, ...] = ()
    counts: tuple[tuple[str, int], ...] = ()
    before_next: bool = False


@dataclass(frozen=True, slots=True)
class Slot:
    """So many minutes of a session. `unit` is a code, or empty for mixed work.

    `why` says how it came to stand here, if that is known. `with_coach` says that the group needs the
    coach to itself: he explains or briefs; else it can work quietly, or play.
    """

    kind: SlotKind
    unit: str
    minutes: int
    why: Reason | None = None
    with_coach: bool = False


@dataclass(frozen=True, slots=True)
class PlannedSession:
    """One club evening (a local date) with its slots in order, one right after the other.

    A `locked` one is left as it is when the term is planned anew. `sequence` counts how often the
    evening was changed, for calendars that have it already.
    """

    on: date
    slots: tuple[Slot, ...]
    locked: bool = False
    sequence: int = 0

    @property
    def minutes(self) -> int:
        return sum(slot.minutes for slot in self.slots)

    @property
    def starts(self) -> tuple[int, ...]:
        """For each slot the minutes from the start of the session to its own."""
        return tuple(accumulate((slot.minutes for slot in self.slots[:-1]), initial=0)) if self.slots else ()

    @property
    def timed(self) -> tuple[tuple[int, Slot], ...]:
        """The slots, each after its start."""
        return tuple(zip(self.starts, self.slots, strict=True))

    def units(self, *kinds: SlotKind) -> tuple[str, ...]:
        """The codes of the units in the slots of these kinds, each once, in order."""
        return tuple(dict.fromkeys(slot.unit for slot in self.slots if slot.unit and slot.kind in kinds))


@dataclass(frozen=True, slots=True)
class CancelledSession:
    """An evening that was planned once and does not take place."""

    on: date
    sequence: int


@dataclass(frozen=True, slots=True)
class Pin:
    """The coach wants a unit to begin on an evening."""

    unit: str
    on: date


@dataclass(frozen=True, slots=True)
class NotDone:
    """What was planned of a unit for evenings before this date did not happen."""

    unit: str
    before: date


@dataclass(frozen=True, slots=True)
class Shortfall:
    """A unit that did not fit, and how many more evenings of the same length it would take, together
    with the ones named before it; None if that is more than a year of evenings."""

    unit: str
    evenings: int | None


@dataclass(frozen=True, slots=True)
class Closure:
    """Days in a row, the first and the last included: such as holidays without a meeting."""

    first: date
    last: date

    def __contains__(self, day: date) -> bool:
        return self.first <= day <= self.last


@dataclass(frozen=True, slots=True)
class TermPlan:
    """Sessions in order of date; `left_over` are unit codes that did not fit.

    With a `goal`, the level to be reached by the end, `shortfalls` are all units that it asks for and
    that did not fit; without one, the first that did not. `known` are the units that the group knew
    on the first day. `room` names the groups that share coach and evening, this one included; () if it
    has the coach to itself. `at` is the local time at which an evening starts ("18:30"), `zone` a name
    of the time zone database ("Europe/Dublin"); each is "" if it is not known. `taken_over` are days in
    the midst of the term that a later plan is for; it is worked out when plans are read. `weekdays` (0 is
    Monday) are those on which the club meets; () of plans of the first version.
    """

    starts_on: date
    ends_on: date
    minutes: int
    sessions: tuple[PlannedSession, ...]
    left_over: tuple[str, ...] = ()
    known: tuple[str, ...] = ()
    goal: int | None = None
    shortfalls: tuple[Shortfall, ...] = ()
    pins: tuple[Pin, ...] = ()
    not_done: tuple[NotDone, ...] = ()
    room: tuple[str, ...] = ()
    at: str = ""
    zone: str = ""
    cancelled: tuple[CancelledSession, ...] = ()
    taken_over: tuple[Closure, ...] = ()
    weekdays: tuple[int, ...] = ()

    @property
    def days(self) -> Closure:
        """From the first to the last day of the term."""
        return Closure(self.starts_on, self.ends_on)

    def is_for(self, day: date) -> bool:
        """Whether a day is in the term, and no later plan has taken it over."""
        return day in self.days and not any(day in others for others in self.taken_over)

    def session_on(self, day: date) -> PlannedSession | None:
        """The evening on a day, None if there is none."""
        return next((session for session in self.sessions if session.on == day), None)

    def without(self, days: Closure) -> "TermPlan | None":
        """What is left of the plan when a later one is for these days; None if no evening is left."""
        sessions = tuple(session for session in self.sessions if session.on not in days)
        if not sessions:
            return None
        starts_on, ends_on, taken_over = self.starts_on, self.ends_on, self.taken_over
        if starts_on in days:
            starts_on = days.last + timedelta(days=1)
        elif ends_on in days:
            ends_on = days.first - timedelta(days=1)
        elif days.first in self.days:
            taken_over = (*taken_over, days)
        return replace(
            self,
            starts_on=starts_on,
            ends_on=ends_on,
            sessions=sessions,
            pins=tuple(pin for pin in self.pins if pin.on not in days),
            cancelled=tuple(gone for gone in self.cancelled if gone.on not in days),
            taken_over=taken_over,
        )

    @property
    def days_off(self) -> tuple[date, ...]:
        """The days from the first to the last of the term that fall on one of its weekdays and have no
        evening.

        A plan keeps no closures: what they left out is what is missing between its evenings.
        """
        planned = {session.on for session in self.sessions}
        weekdays = self.weekdays or {on.weekday() for on in planned}
        days = (self.starts_on + timedelta(days=i) for i in range((self.ends_on - self.starts_on).days + 1))
        return tuple(
            day for day in days if day.weekday() in weekdays and day not in planned and self.is_for(day)
        )


class Progression(StrEnum):
    """How an evening stands to the others on which a unit is worked on; an assessment is of no unit."""

    NEW = "new"
    GOES_ON = "goes on"
    AGAIN = "again"
    ASSESSMENT = "assessment"


@dataclass(frozen=True, slots=True)
class EveningTopics:
    """What an evening is about, in order: units, each by its code and how it comes, and perhaps an assessment
    (which has the code "")."""

    units: tuple[tuple[str, Progression], ...] = ()


class Difference(StrEnum):
    """In what a plan differs from an earlier one."""

    ADDED = "added"
    CHANGED = "changed"
    CANCELLED = "cancelled"
    LOCKED = "locked"
    UNLOCKED = "unlocked"
    OTHER_MINUTES = "other minutes"
    FITS_NO_LONGER = "fits no longer"
    FITS_NOW = "fits now"
    PIN_GAVE_WAY = "pin gave way"
    LOCK_GAVE_WAY = "lock gave way"
    PLANNED_AGAIN = "planned again"
    NO_LONGER_PLANNED = "no longer planned"
    NO_EVENING_LEFT = "no evening left"


@dataclass(frozen=True, slots=True)
class PlanDifference:
    """One thing in which a plan differs: of which `evenings`, what they `were` and are `now` about, and of
    which `units`."""

    what: Difference
    evenings: tuple[date, ...] = ()
    was: EveningTopics | None = None
    now: EveningTopics | None = None
    units: tuple[str, ...] = ()


class PlanChange(StrEnum):
    """What was done to the plan of a term."""

    PLANNED = "planned"
    REPLANNED = "replanned"
    PINNED = "pinned"
    UNPINNED = "unpinned"
    LOCKED = "locked"
    UNLOCKED = "unlocked"
    NOT_DONE = "not done"


@dataclass(frozen=True, slots=True)
class Term:
    """A term of a group: the plan in force, and the `number` by which the group's book knows the term."""

    group: str
    number: int
    plan: TermPlan


@dataclass(frozen=True, slots=True)
class PlannedReview:
    """A student who is to review a unit on an evening; `due_on` is when recall would drop below the
    target. Computed whenever it is shown, never stored."""

    student: str
    unit: str
    on: date
    due_on: date


@dataclass(frozen=True, slots=True)
class PlannedCatchUp:
    """A student who is to be explained a unit on an evening that was missed. Computed, never stored."""

    student: str
    unit: str
    on: date


@dataclass(frozen=True, slots=True)
class UnfitReview:
    """A student who needs to review a unit, for which no evening has room: as for the last one, that of `on`,
    only `fitting` reviews fit into it."""

    student: str
    unit: str
    due_on: date
    on: date
    fitting: int


@dataclass(frozen=True, slots=True)
class TermReviews:
    """Who is to review what, by evening and the most urgent first, and what does not fit."""

    planned: tuple[PlannedReview, ...] = ()
    unfit: tuple[UnfitReview, ...] = ()


def learning_together(
    sessions: Mapping[str, Sequence[PlannedSession]],
) -> dict[tuple[str, date, int], tuple[str, ...]]:
    """By group, evening and the minute at which something is explained to it: the other groups to which the
    same is explained at once. What is explained to one group alone is not there."""
    found: defaultdict[tuple[date, int, str], list[str]] = defaultdict(list)
    for group, own in sessions.items():
        for session in own:
            for start, slot in session.timed:
                if slot.with_coach:
                    found[session.on, start, slot.unit].append(group)
    return {
        (group, on, start): tuple(other for other in groups if other != group)
        for (on, start, _), groups in found.items()
        if len(groups) > 1
        for group in groups
    }


def clock(at: str, minutes: int) -> str:
    """The time of day so many minutes after `at` ("18:30"), such as "19:05"."""
    return f"{datetime.strptime(at, '%H:%M') + timedelta(minutes=minutes):%H:%M}"

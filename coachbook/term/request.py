"""What is asked of the plan of a group's term, and the error for what cannot be had."""

from collections import Counter
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from datetime import date
from itertools import pairwise

from coachbook.errors import Advice, CoachbookError
from coachbook.model.progress import Standing, Still, UnitProgress
from coachbook.model.syllabus import Syllabus
from coachbook.model.term_plan import NotDone, Pin, PlannedSession
from coachbook.wording.counting import shown_day

REVIEW_MINUTES = 10
SHORTEST_STRETCH = 10
SHORTEST_SESSION = 30
LONGEST_SESSION = 600


class WishError(CoachbookError):
    """A wish that cannot be kept: the pin of a unit, or the lock on an evening (`on`, with no unit)."""

    def __init__(self, message: str, hint: str | Advice, on: date, unit: str = "") -> None:
        super().__init__(message, hint)
        self.on = on
        self.unit = unit


@dataclass(frozen=True, slots=True)
class CoachTime:
    """From minute `start` to minute `end` of an evening the coach is with another group, to which `unit` is
    explained ("" for something else)."""

    start: int
    end: int
    group: str
    unit: str = ""


@dataclass(frozen=True, slots=True)
class TermRequest:
    """Evenings of `minutes` each on `dates`, which are still to be planned.

    `past` sessions have happened and `locked` ones are to stay: both are kept as they are, on dates
    of their own. What `not_done` names of the past sessions did not happen. `known` are codes of
    units that the group knows already; codes that are not of the syllabus are not looked at. With a
    `goal`, units of that level and below come first. `has_answers` says that some student has done
    something before, so that even the first evening has something to review.

    `sharing` names the groups that share the coach, who is with so many `parties` by turns: groups that learn
    everything together are one (None: each is its own). `busy` says by date when the coach is with others, in
    minutes after the start. `at` and `zone` go into the plan as they are.

    Raises CoachbookError if there is no date, a date is not in order or not in the term, or the
    minutes are too few or too many.
    """

    dates: tuple[date, ...]
    minutes: int
    starts_on: date
    ends_on: date
    known: frozenset[str] = frozenset()
    goal: int | None = None
    pins: tuple[Pin, ...] = ()
    past: tuple[PlannedSession, ...] = ()
    locked: tuple[PlannedSession, ...] = ()
    not_done: tuple[NotDone, ...] = ()
    has_answers: bool = False
    sharing: tuple[str, ...] = ()
    parties: int | None = None
    at: str = ""
    zone: str = ""
    busy: Mapping[date, tuple[CoachTime, ...]] = field(default_factory=dict)

    def __post_init__(self) -> None:
        self._check_dates()
        if self.minutes < SHORTEST_SESSION:
            raise CoachbookError(
                f"An evening of {self.minutes} minutes is too short to plan.",
                f"Give each evening at least {SHORTEST_SESSION} minutes.",
            )
        if self.minutes > LONGEST_SESSION:
            raise CoachbookError(
                f"An evening of {self.minutes} minutes is too long to plan.",
                f"Give each evening at most {LONGEST_SESSION} minutes.",
            )
        if self.turn is not None and self.turn < SHORTEST_STRETCH:
            groups = self.parties or len(self.sharing)
            raise CoachbookError(
                f"{self.minutes} minutes are too short for {groups} groups in one room:"
                f" the coach needs {SHORTEST_STRETCH} minutes with each.",
                "Give longer evenings, or plan fewer groups together.",
            )

    @property
    def all_dates(self) -> tuple[date, ...]:
        """The dates to plan and those of the sessions that are kept, in order."""
        kept = (session.on for session in (*self.past, *self.locked))
        return tuple(sorted((*self.dates, *kept)))

    @property
    def buffer(self) -> int:
        """Minutes that stay free at the end of an evening: five for every full hour, but five at
        least, for a late start, a long question and tidying up (common practice, no source)."""
        return max(1, self.minutes // 60) * 5

    @property
    def turn(self) -> int | None:
        """How many minutes of an evening the coach is with this group alone: an equal share of what
        review and buffer leave, in steps of five. None if no other group needs the coach."""
        parties = len(self.sharing) if self.parties is None else self.parties
        if parties < 2:
            return None
        return (self.minutes - REVIEW_MINUTES - self.buffer) // parties // 5 * 5

    def known_of(self, syllabus: Syllabus) -> tuple[str, ...]:
        """What of a syllabus the group knows already, in its order."""
        return tuple(unit.code for unit in syllabus.units if unit.code in self.known)

    def _check_dates(self) -> None:
        dates = self.all_dates
        if not dates:
            raise CoachbookError("There is no evening to plan.", "Give at least one date.")
        for earlier, later in (*pairwise(self.dates), *pairwise(dates)):
            if earlier >= later:
                raise CoachbookError(
                    f"{shown_day(later)} stands after {shown_day(earlier)}.", "Give each date once, in order."
                )
        for on in (dates[0], dates[-1]):
            if not self.starts_on <= on <= self.ends_on:
                days = f"{shown_day(self.starts_on)} to {shown_day(self.ends_on)}"
                raise CoachbookError(f"{shown_day(on)} is not in the term from {days}.")


def known_units(progress: Iterable[UnitProgress]) -> frozenset[str]:
    """Units that at least half of a group once knew (secure, or secure before and fading), or at least two
    thirds have shown on a good evening.

    What fades, and what is yet to be shown again, is brought back by review and not taught again from the
    start: else half of the syllabus would begin anew with every term.
    """
    students = set[str]()
    knew, showed = Counter[str](), Counter[str]()
    for each in progress:
        students.add(each.student)
        knew[each.unit] += each.standing in (Standing.SECURE, Standing.FADING)
        showed[each.unit] += _was_shown(each)
    count = len(students)
    by_half = (unit for unit, knowing in knew.items() if 2 * knowing >= count)
    by_most = (unit for unit, showing in showed.items() if 3 * showing >= 2 * count)
    return frozenset((*by_half, *by_most))


def _was_shown(progress: UnitProgress) -> bool:
    if progress.standing is not Standing.WORKING:
        return progress.standing is not Standing.NEW
    unshown = any(each.what is Still.GOOD_EVENINGS and not each.done for each in progress.missing)
    return bool(progress.evenings) and not unshown

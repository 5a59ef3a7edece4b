"""Plans a term the way a coach would with a pencil.

1. From the second evening on, ten minutes of review come first. Review comes first on the first
   evening, too, if the group has done units before.
2. Take the units in the order of the syllabus, leaving out those that are done. A unit is new
   work first (half of its minutes, in steps of five) and then practice (the rest).
3. Put each part into the first free minutes after the one before. What does not fit goes on
   next evening, after the review; nothing is cut into pieces of less than ten minutes.
4. A unit that would not be finished by the end of the term is rubbed out again and left over,
   and so is every unit that builds on it. The next unit is tried in its place.
5. Ten minutes or more that stay free are mixed practice of what is known by then.
"""

from collections.abc import Sequence
from dataclasses import dataclass, field
from datetime import date
from itertools import pairwise

from coachbook.errors import CoachbookError
from coachbook.model.syllabus import Syllabus, Unit
from coachbook.model.term import PlannedSession, Slot, SlotKind, TermPlan

REVIEW_MINUTES = 10
SHORTEST_STRETCH = 10
SHORTEST_SESSION = 30


@dataclass(slots=True)
class _Evening:
    """An evening on the pencil plan, with the minutes that are still free."""

    on: date
    free: int
    slots: list[Slot] = field(default_factory=list)

    def put(self, slot: Slot) -> None:
        self.slots.append(slot)
        self.free -= slot.minutes


def plan_term(
    syllabus: Syllabus,
    dates: Sequence[date],
    minutes: int,
    *,
    starts_on: date,
    ends_on: date,
    done: frozenset[str] = frozenset(),
) -> TermPlan:
    """The plan for evenings of `minutes` each on `dates`; the same input gives the same plan.

    `done` are codes of units that the group knows already; codes that are not of the syllabus
    are not looked at. Raises CoachbookError if there is no date, the dates do not rise or leave
    the term, an evening has fewer than 30 minutes, or nothing at all fits.
    """
    _check_dates(dates, starts_on, ends_on)
    if minutes < SHORTEST_SESSION:
        raise CoachbookError(
            f"An evening of {minutes} minutes is too short to plan.",
            f"Give each evening at least {SHORTEST_SESSION} minutes.",
        )
    known = {unit.code for unit in syllabus.units if unit.code in done}
    evenings = [_Evening(on, minutes) for on in dates]
    for evening in evenings if known else evenings[1:]:
        evening.put(Slot(SlotKind.REVIEW, "", REVIEW_MINUTES, "review of earlier evenings comes first"))
    planned = _place_units(syllabus, evenings, known)
    left_over = tuple(unit.code for unit in syllabus.units if unit.code not in known | planned)
    if not known and not planned:
        raise CoachbookError(
            f"No unit fits into this term ({len(dates)} times {minutes} minutes).",
            "Plan more or longer evenings.",
        )
    _fill_up(evenings)
    sessions = tuple(PlannedSession(evening.on, tuple(evening.slots)) for evening in evenings)
    return TermPlan(starts_on, ends_on, minutes, sessions, left_over)


def _check_dates(dates: Sequence[date], starts_on: date, ends_on: date) -> None:
    if not dates:
        raise CoachbookError("There is no evening to plan.", "Give at least one date.")
    for earlier, later in pairwise(dates):
        if earlier >= later:
            raise CoachbookError(f"{later} stands after {earlier}.", "Give each date once, in order.")
    for on in (dates[0], dates[-1]):
        if not starts_on <= on <= ends_on:
            raise CoachbookError(f"{on} is not in the term from {starts_on} to {ends_on}.")


def _place_units(syllabus: Syllabus, evenings: list[_Evening], known: set[str]) -> set[str]:
    """Put the units on the plan, and return the codes of those that fitted."""
    waiting = [unit for unit in syllabus.units if unit.code not in known]
    planned: set[str] = set()
    at = 0
    while unit := next((unit for unit in waiting if known | planned >= set(unit.prerequisites)), None):
        waiting.remove(unit)
        pencilled = _pencil_in(unit, evenings[at:], _why_new(unit, syllabus))
        if pencilled:
            planned.add(unit.code)
            at = evenings.index(pencilled[-1][0])
            for evening, slot in pencilled:
                evening.put(slot)
    return planned


def _pencil_in(unit: Unit, evenings: list[_Evening], why_new: str) -> list[tuple[_Evening, Slot]]:
    """Where the whole unit would go, first to last; empty if it would not be finished."""
    new = _new_minutes(unit)
    parts = [(SlotKind.NEW, new, why_new)]
    if new < unit.minutes:
        parts.append((SlotKind.PRACTICE, unit.minutes - new, "worksheet and play-outs on what is new"))
    pencilled = []
    for evening in evenings:
        free = evening.free
        while parts and (stretch := _stretch(parts[0][1], free)):
            kind, need, why = parts.pop(0)
            pencilled.append((evening, Slot(kind, unit.code, stretch, why)))
            free -= stretch
            if rest := need - stretch:
                parts.insert(0, (kind, rest, f"goes on: {rest} minutes did not fit the evening before"))
        if not parts:
            return pencilled
    return []


def _new_minutes(unit: Unit) -> int:
    """Half of the unit's minutes, rounded up to a multiple of five."""
    return min(unit.minutes, -(-unit.minutes // 10) * 5)


def _stretch(need: int, free: int) -> int:
    """How much of `need` to do in `free` minutes, so that no piece of it gets too short; or 0."""
    if need <= free:
        return need
    stretch = min(free, need - SHORTEST_STRETCH)
    return stretch if stretch >= SHORTEST_STRETCH else 0


def _why_new(unit: Unit, syllabus: Syllabus) -> str:
    if not unit.prerequisites:
        return "next in the syllabus"
    titles = " and ".join(f"\u201c{syllabus.unit(code).title}\u201d" for code in unit.prerequisites)
    return f"next in the syllabus; builds on {titles}"


def _fill_up(evenings: list[_Evening]) -> None:
    for evening in evenings:
        if evening.free >= SHORTEST_STRETCH:
            why = "minutes to spare: play-outs of what the group knows"
            evening.put(Slot(SlotKind.PRACTICE, "", evening.free, why))

"""Who is to review what on which evening of a plan, seen from the standing on a day.

For every evening in order: whoever's recall of a unit would fall below the target by the next meeting
reviews it now, those first who fall first. A review takes five minutes (two or three items; common
practice, no source), so that two fit into a slot of ten; an assessment reviews all units that it asks for.
It is taken to go well, and so is the practice that is planned. Those for whom there is no time are left for
the next evening.
"""

from collections import Counter
from collections.abc import Callable, Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta
from types import MappingProxyType

from coachbook.model.progress import Evening, UnitProgress
from coachbook.model.term_plan import (
    PlannedReview,
    PlannedSession,
    Reason,
    SlotKind,
    TermPlan,
    TermReviews,
    UnfitReview,
    Why,
)

MINUTES_EACH = 5
_PRACTISED = (SlotKind.PRACTICE, SlotKind.PLAY_OUT)
_AFTER_LAST = timedelta(days=7)
_MOST_UNITS_NAMED = 3

Forecast = Callable[[tuple[Evening, ...], tuple[date, ...]], date]
"""When recall falls below the target after what happened, then practice that goes well on these dates."""


@dataclass(slots=True)
class _Memory:
    """A student's memory of a unit: what happened, the practice to come, and when it is due, if known."""

    student: str
    unit: str
    order: int
    evenings: tuple[Evening, ...]
    due_on: date | None
    dates: tuple[date, ...] = ()

    def practise(self, on: date, forecast: Forecast) -> None:
        if not self.evenings or self.evenings[-1].on < on:
            self.dates += (on,)
            self.due_on = forecast(self.evenings, self.dates)


def plan_reviews(
    sessions: Sequence[PlannedSession],
    progress: Iterable[UnitProgress],
    forecast: Forecast,
    until: date | None = None,
    assessed: Mapping[date, Collection[str]] = MappingProxyType({}),
) -> TermReviews:
    """The reviews for sessions that are to come, from where the students of the group stand now.

    `progress` is every student's standing in every unit, units in the order of the syllabus. `until`
    is the meeting after these sessions; if there is none, a week after the last. `assessed` are the units
    that the assessment of an evening asks for, by its day. `unfit` are those for whom there was no time by
    then.
    """
    memories = [
        _Memory(each.student, each.unit, order, each.evenings, each.due_on)
        for order, each in enumerate(progress)
    ]
    planned: list[PlannedReview] = []
    unfit: list[UnfitReview] = []
    for number, session in enumerate(sessions):
        is_last = number + 1 == len(sessions)
        by = (until or session.on + _AFTER_LAST) if is_last else sessions[number + 1].on
        practised, asked = session.units(*_PRACTISED), assessed.get(session.on, ())
        room = sum(slot.minutes for slot in session.slots if slot.kind is SlotKind.REVIEW) // MINUTES_EACH
        taken: Counter[str] = Counter()
        unfit = []
        for memory, due_on in _due(memories, by, practised):
            if memory.unit in asked or taken[memory.student] < room:
                taken[memory.student] += memory.unit not in asked
                planned.append(PlannedReview(memory.student, memory.unit, session.on, due_on))
                memory.practise(session.on, forecast)
            else:
                unfit.append(UnfitReview(memory.student, memory.unit, due_on, session.on, room))
        for memory in memories:
            if memory.unit in practised or (memory.unit in asked and session.on not in memory.dates):
                memory.practise(session.on, forecast)
    return TermReviews(tuple(planned), tuple(unfit))


def _due(memories: Iterable[_Memory], by: date, practised: Collection[str]) -> list[tuple[_Memory, date]]:
    """Who needs review on an evening, first those who have waited longest. What is practised is not."""
    due = [
        (memory, memory.due_on)
        for memory in memories
        if memory.due_on is not None and memory.due_on <= by and memory.unit not in practised
    ]
    return sorted(due, key=lambda each: (each[1], each[0].order))


def with_students_due(plan: TermPlan, reviews: TermReviews, first: date) -> TermPlan:
    """The plan with review slots from `first` on that say how many students are due in what. No names."""
    counts: dict[date, Counter[str]] = {}
    for each in reviews.planned:
        counts.setdefault(each.on, Counter())[each.unit] += 1
    sessions = tuple(
        session
        if session.on < first or session.locked
        else with_due(session, counts.get(session.on, Counter()), is_last=session is plan.sessions[-1])
        for session in plan.sessions
    )
    return replace(plan, sessions=sessions)


def with_due(session: PlannedSession, counts: Counter[str], *, is_last: bool) -> PlannedSession:
    """The session with review slots that say how many students are due in each unit (by code)."""
    most = counts.most_common(_MOST_UNITS_NAMED)
    why = Reason(Why.NOBODY_DUE)
    if counts:
        why = Reason(Why.STUDENTS_DUE, len(counts) - len(most), counts=tuple(most), before_next=not is_last)
    slots = (replace(slot, why=why) if slot.kind is SlotKind.REVIEW else slot for slot in session.slots)
    return replace(session, slots=tuple(slots))

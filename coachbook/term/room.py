"""Groups that share a room and its coach: planned one after the other."""

from collections import defaultdict
from collections.abc import Iterable, Mapping
from dataclasses import replace
from datetime import date

from coachbook.model.syllabus import Syllabus
from coachbook.model.term import PlannedSession, TermPlan
from coachbook.term.planner import plan_term, plan_term_giving_way
from coachbook.term.request import CoachTime, TermRequest

CoachTimes = Mapping[date, tuple[CoachTime, ...]]
"""By date, when the coach is with which group."""


def plan_room(
    syllabus: Syllabus,
    requests: Mapping[str, TermRequest],
    *,
    giving_way: bool = False,
    keeping_locks: bool = False,
) -> dict[str, TermPlan]:
    """The plans of groups that start at the same time, by the groups' names and in their order.

    No two have the coach at once: each takes what the groups before it, and the locked evenings of
    those after it, leave of the coach's time. If they are `giving_way`, pins and locks that cannot be
    kept are left out, but not locks if these are to be kept. Raises CoachbookError.
    """

    def plan(syllabus: Syllabus, request: TermRequest) -> TermPlan:
        if giving_way:
            return plan_term_giving_way(syllabus, request, keeping_locks=keeping_locks)
        return plan_term(syllabus, request)

    plans: dict[str, TermPlan] = {}
    for group, request in requests.items():
        later = [other for other in requests if other != group and other not in plans]
        busy = merged(
            request.busy,
            *(coach_times(other, made.sessions) for other, made in plans.items()),
            *(coach_times(other, requests[other].locked) for other in later),
        )
        plans[group] = plan(syllabus, replace(request, busy=busy))
    return plans


def coach_times(group: str, sessions: Iterable[PlannedSession]) -> CoachTimes:
    """When the coach is with a group."""
    return {
        session.on: tuple(
            CoachTime(start, start + slot.minutes, group)
            for start, slot in zip(session.starts, session.slots, strict=True)
            if slot.with_coach
        )
        for session in sessions
    }


def merged(*parts: CoachTimes) -> CoachTimes:
    """All of these together."""
    times: defaultdict[date, tuple[CoachTime, ...]] = defaultdict(tuple)
    for part in parts:
        for on, more in part.items():
            times[on] += more
    return dict(times)

"""Planning groups that share a hall: who learns what together, and whose turn it is with the coach.

Groups whose work is the same from here on are one *party*: they have one plan for what is to come, are
explained everything at once, and then work apart. Parties are planned one after the other, and have the
coach by turns; one that is to learn what another is explained that evening joins it, if it need not wait for
that longer than a review takes.
"""

from collections import defaultdict
from collections.abc import Iterable, Mapping
from dataclasses import replace
from datetime import date

from coachbook.model.syllabus import Syllabus
from coachbook.model.term_plan import PlannedSession, SlotKind, TermPlan
from coachbook.term.layout import Layout
from coachbook.term.planner import plan_term, plan_term_giving_way
from coachbook.term.replan import shape
from coachbook.term.request import CoachTime, TermRequest

CoachTimes = Mapping[date, tuple[CoachTime, ...]]
"""By date, when the coach is with which group."""


def plan_together(
    syllabus: Syllabus,
    requests: Mapping[str, TermRequest],
    *,
    giving_way: bool = False,
    keeping_locks: bool = False,
) -> dict[str, TermPlan]:
    """The plans of groups that start at the same time, by the groups' names and in their order.

    No two have the coach at once, unless the same is explained to both: each takes what the groups before it,
    and the locked evenings of those after it, leave of the coach's time. If they are `giving_way`, pins and
    locks that cannot be kept are left out, but not locks if these are to be kept. Raises CoachbookError where
    `plan_term` or `plan_term_giving_way` does.
    """

    def plan(request: TermRequest) -> TermPlan:
        if giving_way:
            return plan_term_giving_way(syllabus, request, keeping_locks=keeping_locks)
        return plan_term(syllabus, request)

    parties = parties_of(syllabus, requests)
    plans: dict[str, TermPlan] = {}
    for party in parties:
        first = requests[party[0]]
        later = [other for other in requests if other not in party and other not in plans]
        busy = merged(
            first.busy,
            *(coach_times(other, made.sessions) for other, made in plans.items()),
            *(coach_times(other, requests[other].locked) for other in later),
        )
        sharing = len(parties) + _parties_in(first.busy)
        made = plan(replace(first, busy=busy, parties=sharing if first.sharing else None))
        plans |= {group: _as_own(syllabus, made, requests[group]) for group in party}
    return {group: plans[group] for group in requests}


def parties_of(syllabus: Syllabus, requests: Mapping[str, TermRequest]) -> tuple[tuple[str, ...], ...]:
    """The groups, those together whose work is the same from here on, in their order."""
    found: defaultdict[object, list[str]] = defaultdict(list)
    for group, request in requests.items():
        found[_to_come(syllabus, request)].append(group)
    return tuple(map(tuple, found.values()))


def _to_come(syllabus: Syllabus, request: TermRequest) -> object:
    """All that decides how the evenings to come are planned; equal for groups that can learn together."""
    past = replace(request, dates=(), locked=()) if request.past else None
    layout = Layout(syllabus, past or request, (), (), set(request.known_of(syllabus)))
    if past is not None:
        layout.run()
    return (
        request.dates,
        request.minutes,
        request.starts_on if not request.past else None,
        request.ends_on,
        request.goal,
        request.pins,
        tuple((session.on, shape(session)) for session in request.locked),
        request.at,
        request.zone,
        tuple(sorted((on, times) for on, times in request.busy.items())),
        bool(request.past or layout.known or request.has_answers),
        frozenset(layout.known),
        tuple((work.unit.code, tuple(work.left.items())) for work in layout.open),
        frozenset(layout.kept),
        layout.finished_level,
        frozenset(each.unit for each in request.not_done) - layout.known,
    )


def _as_own(syllabus: Syllabus, plan: TermPlan, request: TermRequest) -> TermPlan:
    """The plan of a party as that of one of its groups, which has a past of its own."""
    past = {session.on for session in request.past}
    to_come = (session for session in plan.sessions if session.on not in past)
    return replace(
        plan,
        starts_on=request.starts_on,
        sessions=tuple(sorted((*request.past, *to_come), key=lambda session: session.on)),
        known=request.known_of(syllabus),
        not_done=request.not_done,
    )


def _parties_in(busy: CoachTimes) -> int:
    """Of how many parties the groups are with which the coach is at these times."""
    times: defaultdict[str, list[tuple[date, int, int]]] = defaultdict(list)
    for on, taken in busy.items():
        for each in taken:
            times[each.group].append((on, each.start, each.end))
    return len({tuple(sorted(own)) for own in times.values()})


def coach_times(group: str, sessions: Iterable[PlannedSession]) -> CoachTimes:
    """When the coach is with a group."""
    return {
        session.on: tuple(
            CoachTime(start, start + slot.minutes, group, slot.unit if slot.kind is SlotKind.NEW else "")
            for start, slot in session.timed
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

"""Plans a term the way a coach would do it by hand, for one group or several that share a hall.

1. Five minutes of each full hour, five at least, stay free at the end of an evening. From the second
   evening on, ten minutes of review come first; on the first evening, too, if the group has done
   anything before. On the last evening, and on the one after a level is finished, an assessment
   comes in its place: it asks for the whole level, or else for what the term has taught.
2. Take the units in the order of the syllabus, leaving out those that are known. With a goal, units
   of that level and below come first, with all that they build on. A unit is new work first (half
   of its minutes, in steps of five), then practice and play-outs (see `layout.parts_of`).
3. Put each part into the first free minutes after the one before. What does not fit goes on
   next evening, after the review; nothing is cut into pieces of less than ten minutes.
4. A unit that would not be finished by the end of the term is taken out again and left over,
   and so is every unit that builds on it. The next unit is tried in its place. A unit that was
   begun before goes on as far as there is time.
5. Ten minutes or more that stay free are play-outs of what is known by then.
6. Groups that share a hall are planned one after the other, in the order in which they are named; those
   whose work is the same from here on are one party, and learn together (see `together`). Each party has
   the coach for an equal turn at most, at the first minute at which it has use for a coach who is free; what
   another is explained within ten minutes it joins. Until then, and after, it works quietly: on what is
   known, or on what was explained.
7. A unit that is pinned begins on its evening, before anything else that is new; what it builds on
   moves to the front. A locked evening is taken as it stands, and what it builds on comes first, too.

It is a plain loop and no solver: units come in one order and a rule is met or not, so there is nothing
to weigh, and a coach can follow every step and overrule it.
"""

from collections.abc import Iterable
from dataclasses import replace
from datetime import timedelta
from itertools import takewhile

from coachbook.errors import Advice, CoachbookError, Step
from coachbook.model.syllabus import Syllabus, Unit
from coachbook.model.term_plan import Shortfall, TermPlan
from coachbook.term.layout import Layout
from coachbook.term.replan import planned_units
from coachbook.term.request import TermRequest, WishError
from coachbook.wording.counting import shown_day

_MOST_EVENINGS_MORE = 52


def plan_term(syllabus: Syllabus, request: TermRequest) -> TermPlan:
    """The plan that is asked for; the same request gives the same plan.

    Raises CoachbookError if there is no such level, if a pin or a lock cannot be kept, or if nothing
    at all fits.
    """
    _check_wishes(syllabus, request)
    layout = _best_layout(syllabus, request)
    left_over = tuple(unit.code for unit in syllabus.units if unit.code not in layout.known)
    if not (layout.known or request.past or request.locked or request.has_answers):
        raise CoachbookError(
            f"No unit fits into this term ({len(request.dates)} times {request.minutes} minutes).",
            "Plan more or longer evenings.",
        )
    return TermPlan(
        starts_on=request.starts_on,
        ends_on=request.ends_on,
        minutes=request.minutes,
        sessions=tuple(layout.sessions),
        left_over=left_over,
        known=request.known_of(syllabus),
        goal=request.goal,
        shortfalls=_shortfalls(syllabus, request, left_over),
        pins=request.pins,
        not_done=request.not_done,
        room=request.sharing,
        at=request.at,
        zone=request.zone,
    )


def plan_term_giving_way(
    syllabus: Syllabus, request: TermRequest, *, keeping_locks: bool = False
) -> TermPlan:
    """The plan that is asked for without the pins and locks that cannot be kept, when what has happened comes
    first. Raises CoachbookError where `plan_term` does, but for no pin, and for a lock only if locks are to
    be kept."""
    while True:
        try:
            return plan_term(syllabus, request)
        except WishError as wish:
            if keeping_locks and not wish.unit:
                raise
            request = _without(request, wish)


def _without(request: TermRequest, wish: WishError) -> TermRequest:
    if wish.unit:
        return replace(request, pins=tuple(pin for pin in request.pins if pin.unit != wish.unit))
    return replace(
        request,
        dates=tuple(sorted((*request.dates, wish.on))),
        locked=tuple(session for session in request.locked if session.on != wish.on),
    )


def _check_wishes(syllabus: Syllabus, request: TermRequest) -> None:
    numbers = [level.number for level in syllabus.levels]
    if request.goal is not None and request.goal not in numbers:
        raise CoachbookError(
            f"The syllabus has no level {request.goal}.", f"Its levels are {numbers[0]} to {numbers[-1]}."
        )
    for pin in request.pins:
        title = syllabus.unit(pin.unit).title
        if pin.on not in request.all_dates:
            raise WishError(
                f"{title} cannot begin on {shown_day(pin.on)}: the club does not meet then.",
                Advice(Step.UNPIN, {"unit": pin.unit}),
                pin.on,
                pin.unit,
            )


def _best_layout(syllabus: Syllabus, request: TermRequest) -> Layout:
    """Rubs out one unit that is not finished, the last one begun, until none is left."""
    order, left_out = _in_order(syllabus, request), set[str]()
    pinned = {pin.unit for pin in request.pins}
    known = request.known_of(syllabus)
    while True:
        layout = Layout(syllabus, request, order, left_out, set(known))
        layout.run()
        unfinished = [work.unit for work in layout.open if work.unit.code not in layout.kept]
        if not unfinished:
            return layout
        unit = next((unit for unit in reversed(unfinished) if unit.code not in pinned), None)
        if unit is None:
            late = next(pin for pin in request.pins if pin.unit == unfinished[-1].code)
            raise WishError(
                f"{unfinished[-1].title} is pinned so late that it would not be finished by the end.",
                "Pin it to an earlier evening.",
                late.on,
                late.unit,
            )
        left_out.add(unit.code)


def _in_order(syllabus: Syllabus, request: TermRequest) -> tuple[Unit, ...]:
    """First what pinned and locked units build on, then what the goal asks for, then the rest."""
    fixed = planned_units(request.locked) & {unit.code for unit in syllabus.units}
    first = with_prerequisites(syllabus, (*fixed, *(pin.unit for pin in request.pins)))
    asked = _asked(syllabus, request)
    return tuple(
        sorted(syllabus.units, key=lambda unit: 0 if unit.code in first else 1 if unit.code in asked else 2)
    )


def _asked(syllabus: Syllabus, request: TermRequest) -> frozenset[str]:
    """The units that the goal asks for; without a goal none."""
    goal = request.goal
    return with_prerequisites(
        syllabus, (unit.code for unit in syllabus.units if goal is not None and unit.level <= goal)
    )


def with_prerequisites(syllabus: Syllabus, codes: Iterable[str]) -> frozenset[str]:
    """These units and all that they build on."""
    found, waiting = set[str](), list(codes)
    while waiting:
        if (code := waiting.pop()) not in found:
            found.add(code)
            waiting += syllabus.unit(code).prerequisites
    return frozenset(found)


def _shortfalls(
    syllabus: Syllabus, request: TermRequest, left_over: tuple[str, ...]
) -> tuple[Shortfall, ...]:
    """How many more evenings each unit that the goal asks for would take, with those before it; without
    a goal the next one alone.

    Found by planning the term with one evening more, two evenings more, and so on.
    """
    asked = _asked(syllabus, request)
    wanted = [code for code in left_over if code in asked] if request.goal is not None else [*left_over[:1]]
    found: list[Shortfall] = []
    for more in range(1, _MOST_EVENINGS_MORE + 1):
        if len(found) == len(wanted):
            break
        known = _best_layout(syllabus, _longer(request, more)).known
        fitting = [*takewhile(known.__contains__, wanted)]
        found += [Shortfall(code, more) for code in fitting[len(found) :]]
    return (*found, *(Shortfall(code, None) for code in wanted[len(found) :]))


def _longer(request: TermRequest, more: int) -> TermRequest:
    last = request.all_dates[-1]
    extra = tuple(last + timedelta(weeks=week) for week in range(1, more + 1))
    return replace(
        request, dates=(*request.dates, *extra), ends_on=max(request.ends_on, last + timedelta(weeks=more))
    )

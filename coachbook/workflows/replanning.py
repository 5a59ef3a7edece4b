"""Planning the rest of a term anew, and editing a plan by hand: pins and locks."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date

from coachbook.club.book import Book, Reading, Writing
from coachbook.club.terms import current_term, save_term
from coachbook.errors import CoachbookError
from coachbook.model.syllabus import Syllabus
from coachbook.model.term import Closure, Pin, TermPlan
from coachbook.term.difference import differences
from coachbook.term.replan import rest_of, without_answers
from coachbook.term.request import TermRequest, known_units
from coachbook.term.room import CoachTimes, coach_times, merged, plan_room
from coachbook.workflows.groups import first_open, named_group, named_groups, term_in_force
from coachbook.workflows.planning import PlannedTerm, keep_plans
from coachbook.workflows.term_reviews import standing_before


@dataclass(frozen=True, slots=True)
class Replanned:
    """A group's new plan, and what it changes, one line for each evening; none if nothing changed."""

    planned: PlannedTerm
    changes: tuple[str, ...]


def replan_terms(
    book: Book,
    syllabus: Syllabus,
    groups: Sequence[str],
    first: date,
    *,
    cancel: Sequence[date] = (),
    closures: Sequence[Closure] = (),
    not_done: Sequence[str] = (),
) -> tuple[Replanned, ...]:
    """Plan the terms of groups (of the only one, if none is named) anew from `first` on, and save them.

    Earlier evenings, those that were held, and locked ones stay as they are. `cancel` are evenings
    that fall out; `closures` are days without one. Units in `not_done` are planned again, and so are
    units that were to be practised before `first` and in which nobody has done anything. Pins and locks
    that cannot be kept then give way, and are told. Raises CoachbookError.
    """
    with book.writing() as page:
        plans = {group.name: term_in_force(page, group.name) for group in named_groups(page, groups)}
        begins = {name: first_open(page, name, plan, first) for name, plan in plans.items()}
        requests = {}
        for name, plan in plans.items():
            if held := [on for on in cancel if first <= on < begins[name]]:
                raise CoachbookError(
                    f"{held[0]} cannot be cancelled: it was held.",
                    "Take its log back first with 'coachbook log undo' if it was not.",
                )
            fallen = set(cancel) | {
                session.on
                for session in plan.sessions
                if session.on >= begins[name]
                and any(each.first <= session.on <= each.last for each in closures)
            }
            again = frozenset(syllabus.unit(code).code for code in not_done)
            requests[name] = _rest(page, syllabus, name, plan, begins[name], fallen, again)
        return _kept(page, syllabus, plans, requests, begins, giving_way=True)


def pin_unit(
    book: Book, syllabus: Syllabus, group: str | None, unit: str, on: date, first: date
) -> Replanned:
    """Let a unit begin on an evening, and plan the term anew from `first` on. Raises CoachbookError."""
    code = syllabus.unit(unit).code
    with book.writing() as page:
        name = named_group(page, group).name
        plan = term_in_force(page, name)
        first = first_open(page, name, plan, first)
        if on < first:
            raise CoachbookError(
                f"{on} has been: from {first} on the term can be changed.", "Choose a later evening."
            )
        if code in plan.known:
            raise CoachbookError(f"The group {name} knows {code} already.", "Pin a unit that is to come.")
        if any(
            slot.unit == code for session in plan.sessions if session.on < first for slot in session.slots
        ):
            raise CoachbookError(f"{code} was begun before {first}.", "Pin a unit that is to come.")
        pins = (*(pin for pin in plan.pins if pin.unit != code), Pin(code, on))
        return _pinned(page, syllabus, name, plan, pins, first)


def unpin_unit(book: Book, syllabus: Syllabus, group: str | None, unit: str, first: date) -> Replanned:
    """Take a pin away, and plan the term anew from `first` on. Raises CoachbookError."""
    code = syllabus.unit(unit).code
    with book.writing() as page:
        name = named_group(page, group).name
        plan = term_in_force(page, name)
        pins = tuple(pin for pin in plan.pins if pin.unit != code)
        if pins == plan.pins:
            raise CoachbookError(f"{code} is not pinned in the plan of {name}.", _pins_told(plan))
        return _pinned(page, syllabus, name, plan, pins, first_open(page, name, plan, first))


def lock_session(book: Book, group: str | None, on: date, *, locked: bool) -> str:
    """Keep an evening as it is whenever the term is planned anew, or no longer; returns the group's name.

    Raises CoachbookError if the plan has no such evening.
    """
    with book.writing() as page:
        name = named_group(page, group).name
        plan = term_in_force(page, name)
        if on not in {session.on for session in plan.sessions}:
            raise CoachbookError(f"The plan of {name} has no evening on {on}.", "See 'coachbook term show'.")
        sessions = tuple(
            replace(session, locked=locked) if session.on == on else session for session in plan.sessions
        )
        save_term(page, replace(plan, sessions=sessions), name)
    return name


def _pinned(
    page: Writing, syllabus: Syllabus, name: str, plan: TermPlan, pins: tuple[Pin, ...], first: date
) -> Replanned:
    request = replace(_rest(page, syllabus, name, plan, first), pins=pins)
    return _kept(page, syllabus, {name: plan}, {name: request}, {name: first})[0]


def _rest(
    page: Reading,
    syllabus: Syllabus,
    group: str,
    plan: TermPlan,
    first: date,
    cancelled: set[date] | frozenset[date] = frozenset(),
    not_done: frozenset[str] = frozenset(),
) -> TermRequest:
    progress = standing_before(page, syllabus, group, first)
    return rest_of(
        plan,
        first,
        cancelled=cancelled,
        known=known_units(progress),
        not_done=not_done | without_answers(plan, first, progress),
        has_answers=any(each.evenings for each in progress),
    )


def _kept(
    page: Writing,
    syllabus: Syllabus,
    old: Mapping[str, TermPlan],
    requests: Mapping[str, TermRequest],
    begins: Mapping[str, date],
    *,
    giving_way: bool = False,
) -> tuple[Replanned, ...]:
    busy = {name: _room_mates(page, name, plan, tuple(requests)) for name, plan in old.items()}
    plans = plan_room(
        syllabus,
        {name: replace(request, busy=busy[name]) for name, request in requests.items()},
        giving_way=giving_way,
    )
    titles = syllabus.titles
    return tuple(
        Replanned(
            planned,
            (
                *differences(old[planned.group], planned.plan, titles),
                *_gave_way(requests[name], planned.plan, titles),
            ),
        )
        for name, plan in plans.items()
        for planned in keep_plans(page, syllabus, {name: plan}, begins[name])
    )


def _gave_way(asked: TermRequest, plan: TermPlan, titles: Mapping[str, str]) -> Iterator[str]:
    for pin in asked.pins:
        if pin not in plan.pins:
            title = titles.get(pin.unit, pin.unit)
            yield f"The pin of {title} to {pin.on} could not be kept, and is taken away."
    locked = {session.on for session in plan.sessions if session.locked}
    for session in asked.locked:
        if session.on not in locked:
            yield f"The lock on {session.on} could not be kept, and is taken away."


def _room_mates(page: Reading, group: str, plan: TermPlan, replanned: tuple[str, ...]) -> CoachTimes:
    """When the coach is with groups of the same room that are not planned anew."""
    times = []
    for other in plan.room:
        if other != group and other not in replanned:
            theirs = current_term(page, other)
            if theirs is not None and group in theirs.room:
                times.append(coach_times(other, theirs.sessions))
    return merged(*times)


def _pins_told(plan: TermPlan) -> str:
    told = ", ".join(f"{pin.unit} on {pin.on}" for pin in plan.pins)
    return f"Pinned are: {told}." if told else "No unit is."

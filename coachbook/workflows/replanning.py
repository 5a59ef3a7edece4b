"""Planning the rest of a term anew, and editing a plan by hand: pins and locks."""

from collections.abc import Collection, Mapping, Sequence
from contextlib import AbstractContextManager
from dataclasses import dataclass, replace
from datetime import date, timedelta
from types import MappingProxyType

from coachbook.club.book import Book, Reading, Writing, rehearsing
from coachbook.club.groups import terms_of
from coachbook.errors import Advice, CoachbookError, Step
from coachbook.model.syllabus import Syllabus
from coachbook.model.term_plan import (
    Closure,
    Difference,
    NotDone,
    Pin,
    PlanChange,
    PlanDifference,
    Term,
    TermPlan,
)
from coachbook.term.replan import differences, planned_units, rest_of, without_answers
from coachbook.term.request import TermRequest, known_units
from coachbook.term.together import CoachTimes, coach_times, merged, plan_together
from coachbook.wording.counting import shown_day
from coachbook.workflows.members import (
    days_held,
    first_open,
    named_group,
    named_groups,
    planned_sessions,
    term_at,
)
from coachbook.workflows.planning import (
    ChangedPlans,
    ChangedTerm,
    check_seen,
    gave_way,
    keep_plans,
    standing_before,
    taught_by_then,
)


@dataclass(frozen=True, slots=True)
class _Wish:
    """How the rest of a group's term is to be planned anew: from the day `first` on, without the evenings
    that are `cancelled`, with the units that were `not_done`, with these pins. If it is taken at its word,
    all that was planned before counts as done, though nothing is logged of it yet."""

    term: Term
    first: date
    pins: tuple[Pin, ...]
    cancelled: frozenset[date] = frozenset()
    not_done: frozenset[str] = frozenset()
    at_its_word: bool = False


def replan_terms(
    book: Book,
    syllabus: Syllabus,
    groups: Sequence[str],
    first: date,
    *,
    today: date | None = None,
    cancel: Sequence[date] = (),
    closures: Sequence[Closure] = (),
    not_done: Sequence[str] = (),
    with_room: bool = False,
    preview: bool = False,
    seen: ChangedPlans | None = None,
) -> ChangedPlans:
    """Plan the terms of groups (of the only one, if none is named) that have the day `first`, or are the next
    after it, anew from there on, and save them; nothing is saved if it is a `preview`.

    Earlier evenings, those that were held, locked ones and other terms stay as they are. `cancel` are
    evenings that fall out; `closures` are days without one. Units in `not_done` are planned again, and so are
    units that were to be practised before `first` and in which nobody has done anything. Pins and locks that
    cannot be kept then give way, and are among the changes. A term that has yet to begin is planned from what
    is known, and from what earlier terms will have taught, as of `today` (`first`, if it is not given). With
    the room, the groups that share the coach with these are planned anew, too, so that they go on learning
    together: they come last. With what the coach has `seen`, nothing else is saved.

    Raises CoachbookError for an unknown group or unit, a group without a plan, an evening to cancel that is
    not in the plan or is past, a unit that was not planned, if no evening is left, and if what was `seen` has
    changed.
    """
    with _changing(book, preview=preview) as tx:
        again = frozenset(syllabus.unit(code).code for code in not_done)
        wishes = []
        for group in named_groups(tx, groups):
            term = term_at(tx, group.name, first)
            cancelled = _fallen(term.plan, first, days_held(tx, group.name), cancel, closures)
            wishes.append(replace(_wish(tx, term, first), cancelled=cancelled, not_done=again))
        if with_room:
            wishes += _others_anew(tx, [wish.term for wish in wishes], first, {})
        made = _made_anew(tx, syllabus, wishes, PlanChange.REPLANNED, today or first, giving_way=True)
        return _as_seen(made, seen, preview=preview)


def plan_again(
    book: Book,
    syllabus: Syllabus,
    group: str,
    units: Sequence[str],
    on: date,
    first: date,
    *,
    by_room: Mapping[str, Collection[str]] = MappingProxyType({}),
    preview: bool = False,
    seen: ChangedPlans | None = None,
) -> ChangedPlans:
    """Plan units again that were not done on an evening, on those that follow it and are not before `first`;
    nothing is saved if it is a `preview`. With the group, those of its room are planned anew: they come last;
    `by_room` are units that were not done by one of them either.

    After the last evening of a term it is only remembered of the units; the next term takes them over, if
    there is one. With what the coach has `seen`, nothing else is saved. Raises CoachbookError for an unknown
    unit, a group without a plan, a unit that was not planned, and if what was `seen` has changed.
    """
    with _changing(book, preview=preview) as tx:
        codes = tuple(syllabus.unit(code).code for code in units)
        term = term_at(tx, group, on)
        days = (session.on for session in planned_sessions(tx, group))
        ahead = next((day for day in days if day > on and day >= first), None)
        if ahead is not None and term.plan.session_on(ahead) is not None:
            wishes = [replace(_wish(tx, term, ahead), not_done=frozenset(codes))]
        else:
            made = _noted(tx, syllabus, term, codes, on)
            if ahead is None:
                return _as_seen(made, seen, preview=preview)
            wishes = [_wish(tx, term_at(tx, group, ahead), ahead)]
        wishes += _others_anew(tx, [wishes[0].term], ahead, by_room)
        made = _made_anew(tx, syllabus, wishes, PlanChange.REPLANNED, ahead, giving_way=True)
        return _as_seen(made, seen, preview=preview)


def _changing(book: Book, *, preview: bool) -> AbstractContextManager[Writing]:
    return rehearsing(book) if preview else book.writing()


def _as_seen(made: ChangedPlans, seen: ChangedPlans | None, *, preview: bool) -> ChangedPlans:
    """Raises CoachbookError if it is not what was `seen`."""
    check_seen(made, seen)
    return replace(made, entry=None) if preview else made


def _wish(tx: Reading, term: Term, first: date) -> _Wish:
    """A term as it is wished from a day on, if nothing else is."""
    return _Wish(term, first_open(tx, term.group, first), term.plan.pins)


def _others_anew(
    tx: Reading, terms: Sequence[Term], first: date, not_done: Mapping[str, Collection[str]]
) -> list[_Wish]:
    """Of the groups that share the coach with those of some terms, each that has an evening on the day; by
    group, what was not done."""
    named = {term.group for term in terms}
    rooms = {other for term in terms for other in term.plan.room} - named
    found = []
    for group in named_groups(tx, sorted(rooms)) if rooms else ():
        term = term_at(tx, group.name, first) if terms_of(tx, group.name) else None
        if term and term.plan.session_on(first) and named.intersection(term.plan.room):
            again = frozenset(not_done.get(group.name, ()))
            found.append(replace(_wish(tx, term, first), not_done=again, at_its_word=True))
    return found


def pin_unit(
    book: Book,
    syllabus: Syllabus,
    group: str | None,
    unit: str,
    on: date,
    first: date,
    *,
    preview: bool = False,
    seen: ChangedPlans | None = None,
) -> ChangedPlans:
    """Let a unit begin on an evening, and plan its term anew from `first` on. Raises CoachbookError if the
    evening is past or none of the plan, if the unit is known or begun by then, and if the pin cannot be
    kept."""
    code = syllabus.unit(unit).code
    with _changing(book, preview=preview) as tx:
        name = named_group(tx, group).name
        term = term_at(tx, name, on)
        plan = term.plan
        begins = first_open(tx, name, first)
        if on < begins:
            raise CoachbookError(
                f"{shown_day(on)} is over: only evenings from {shown_day(begins)} on can change.",
                "Choose a later evening.",
            )
        if code in plan.known:
            raise CoachbookError(
                f"The group {name} knows {code} already.", "Pin a unit that it has not begun."
            )
        if code in units_begun(plan, begins):
            raise CoachbookError(
                f"The group {name} began {code} before {shown_day(begins)}.",
                "Pin a unit that it has not begun.",
            )
        pins = (*(pin for pin in plan.pins if pin.unit != code), Pin(code, on))
        made = _made_anew(tx, syllabus, [_Wish(term, begins, pins)], PlanChange.PINNED, first)
        return _as_seen(made, seen, preview=preview)


def units_begun(plan: TermPlan, before: date) -> frozenset[str]:
    """The units that a plan has begun before a day: they cannot be pinned any more."""
    return frozenset(planned_units(session for session in plan.sessions if session.on < before))


def unpin_unit(
    book: Book,
    syllabus: Syllabus,
    group: str | None,
    unit: str,
    first: date,
    *,
    preview: bool = False,
    seen: ChangedPlans | None = None,
) -> ChangedPlans:
    """Take a pin away, and plan its term anew from `first` on. Raises CoachbookError if the group has no
    plan, the unit has no pin, or no evening is left."""
    code = syllabus.unit(unit).code
    with _changing(book, preview=preview) as tx:
        name = named_group(tx, group).name
        term_at(tx, name, first)  # says how to make a plan if there is none
        terms = [term for term in terms_of(tx, name) if term.plan.ends_on >= first]
        term = next((term for term in terms if any(pin.unit == code for pin in term.plan.pins)), None)
        if term is None:
            raise CoachbookError(f"{code} is not pinned in the plan of {name}.", _pins_in_words(terms))
        pins = tuple(pin for pin in term.plan.pins if pin.unit != code)
        begins = first_open(tx, name, first)
        made = _made_anew(tx, syllabus, [_Wish(term, begins, pins)], PlanChange.UNPINNED, first)
        return _as_seen(made, seen, preview=preview)


def lock_session(
    book: Book,
    syllabus: Syllabus,
    group: str | None,
    on: date,
    *,
    locked: bool,
    preview: bool = False,
    seen: ChangedPlans | None = None,
) -> ChangedPlans:
    """Keep an evening as it is whenever the term is planned anew, or no longer; nothing is saved if it is a
    `preview`. Raises CoachbookError if the plan has no such evening.
    """
    with _changing(book, preview=preview) as tx:
        name = named_group(tx, group).name
        term = term_at(tx, name, on)
        if term.plan.session_on(on) is None:
            raise CoachbookError(
                f"The plan of {name} has no evening on {shown_day(on)}.", Advice(Step.SHOW_THE_TERM)
            )
        sessions = tuple(
            replace(session, locked=locked) if session.on == on else session for session in term.plan.sessions
        )
        change = PlanChange.LOCKED if locked else PlanChange.UNLOCKED
        kept = _kept_as_it_is(tx, syllabus, term, replace(term.plan, sessions=sessions), change)
        return _as_seen(kept, seen, preview=preview)


def _noted(tx: Writing, syllabus: Syllabus, term: Term, units: Sequence[str], on: date) -> ChangedPlans:
    """Remember of units that they were not done on an evening, where the term has no evening left to plan
    them again."""
    day_after = on + timedelta(days=1)
    known = dict.fromkeys((*term.plan.not_done, *(NotDone(unit, day_after) for unit in units)))
    plan = replace(term.plan, not_done=tuple(known))
    kept = _kept_as_it_is(tx, syllabus, term, plan, PlanChange.NOT_DONE)
    lost = PlanDifference(Difference.NO_EVENING_LEFT, units=tuple(units))
    return replace(kept, terms=tuple(replace(each, changes=(lost,)) for each in kept.terms))


def _kept_as_it_is(
    tx: Writing, syllabus: Syllabus, term: Term, plan: TermPlan, change: PlanChange
) -> ChangedPlans:
    """Save a plan of which no evening changes."""
    after_the_end = {term.group: plan.ends_on + timedelta(days=1)}
    kept, entry = keep_plans(tx, syllabus, [(replace(term, plan=plan), term.plan)], change, after_the_end)
    changed = (ChangedTerm(planned, differences(term.plan, planned.plan)) for planned in kept)
    return ChangedPlans(tuple(changed), entry)


def _fallen(
    plan: TermPlan, first: date, held: Collection[date], cancel: Sequence[date], closures: Sequence[Closure]
) -> frozenset[date]:
    """The evenings that fall out, also past ones that were not held.

    Raises CoachbookError for one that was held, or that is before `first`.
    """
    closed = {
        session.on
        for session in plan.sessions
        if session.on >= first and any(session.on in days for days in closures)
    }
    for on in cancel:
        if on < first:
            raise CoachbookError(
                f"{shown_day(on)} cannot be cancelled: only evenings from {shown_day(first)} on"
                " are replanned.",
                Advice(Step.PLAN_FROM_EARLIER, {"on": str(on)}),
            )
    fallen = frozenset((*cancel, *closed))
    for on in sorted(fallen & set(held)):
        raise CoachbookError(
            f"{shown_day(on)} cannot be cancelled: it was held.",
            Advice(Step.UNDO_ITS_LOG),
        )
    return fallen


def _made_anew(
    tx: Writing,
    syllabus: Syllabus,
    wishes: Sequence[_Wish],
    change: PlanChange,
    today: date,
    *,
    giving_way: bool = False,
) -> ChangedPlans:
    groups = tuple(wish.term.group for wish in wishes)
    requests = {
        wish.term.group: replace(
            _rest(tx, syllabus, wish, today),
            busy=_others_in_hall(tx, wish.term, groups),
        )
        for wish in wishes
    }
    plans = plan_together(syllabus, requests, giving_way=giving_way)
    terms = [
        (
            replace(wish.term, plan=replace(plans[wish.term.group], weekdays=wish.term.plan.weekdays)),
            wish.term.plan,
        )
        for wish in wishes
    ]
    begins = {wish.term.group: wish.first for wish in wishes}
    kept, entry = keep_plans(tx, syllabus, terms, change, begins)
    changed = (
        ChangedTerm(
            planned,
            (
                *differences(wish.term.plan, planned.plan),
                *gave_way(requests[planned.group], planned.plan),
            ),
        )
        for wish, planned in zip(wishes, kept, strict=True)
    )
    return ChangedPlans(tuple(changed), entry)


def _rest(tx: Reading, syllabus: Syllabus, wish: _Wish, today: date) -> TermRequest:
    group, plan = wish.term.group, wish.term.plan
    progress = standing_before(tx, syllabus, group, wish.first)
    first = max(wish.first, plan.starts_on)
    elsewhere = taught_by_then(tx, group, first, today, but=wish.term.number)
    past = {on for on in wish.cancelled if on < wish.first and wish.term.plan.session_on(on) is not None}
    plan = replace(
        plan,
        known=tuple(dict.fromkeys((*plan.known, *sorted(elsewhere)))),
        sessions=tuple(session for session in plan.sessions if session.on not in past),
    )
    asked = rest_of(
        plan,
        wish.first,
        cancelled=wish.cancelled - past,
        known=known_units(progress) | elsewhere,
        not_done=wish.not_done
        | (frozenset() if wish.at_its_word else without_answers(plan, wish.first, progress)),
        has_answers=any(each.evenings for each in progress),
    )
    return replace(asked, pins=tuple(pin for pin in wish.pins if pin.on >= wish.first))


def _others_in_hall(tx: Reading, term: Term, replanned: tuple[str, ...]) -> CoachTimes:
    """When the coach is with groups of the same hall that are not planned anew."""
    others = (other for other in term.plan.room if other != term.group and other not in replanned)
    return merged(
        *(
            coach_times(other, theirs.plan.sessions)
            for other in others
            for theirs in terms_of(tx, other)
            if term.group in theirs.plan.room
        )
    )


def _pins_in_words(terms: Sequence[Term]) -> str:
    pins = ", ".join(f"{pin.unit} on {shown_day(pin.on)}" for term in terms for pin in term.plan.pins)
    return f"The pins are: {pins}." if pins else "It has no pins."

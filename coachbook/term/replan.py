"""Plans the rest of a term anew: what was taught stays, and the rest moves. And says what that changes."""

from collections.abc import Collection, Iterable, Iterator, Sequence
from dataclasses import replace
from datetime import date

from coachbook.errors import Advice, CoachbookError, Step
from coachbook.model.progress import UnitProgress
from coachbook.model.term_plan import (
    CancelledSession,
    Closure,
    Difference,
    EveningTopics,
    NotDone,
    PlanDifference,
    PlannedSession,
    Progression,
    SlotKind,
    TermPlan,
)
from coachbook.term.layout import WORK
from coachbook.term.request import TermRequest
from coachbook.wording.counting import shown_day


def topics_by_evening(plan: TermPlan) -> dict[date, EveningTopics]:
    """For each evening what it is about."""
    begun: dict[str, date] = {}
    found: dict[date, EveningTopics] = {}
    for session in plan.sessions:
        units: dict[str, Progression] = {}
        for slot in session.slots:
            if slot.kind is SlotKind.ASSESSMENT:
                units[""] = Progression.ASSESSMENT
            elif slot.unit and slot.kind in WORK and slot.unit not in units:
                units[slot.unit] = _progression(plan, slot.unit, session.on, begun)
        found[session.on] = EveningTopics(tuple(units.items()))
    return found


def _progression(plan: TermPlan, unit: str, on: date, begun: dict[str, date]) -> Progression:
    first = begun.setdefault(unit, on)
    if any(each.unit == unit and first < each.before <= on for each in plan.not_done):
        begun[unit] = on
        return Progression.AGAIN
    return Progression.NEW if first == on else Progression.GOES_ON


def planned_units(sessions: Iterable[PlannedSession], kinds: Collection[SlotKind] = WORK) -> set[str]:
    """The units that have slots of these kinds."""
    return {unit for session in sessions for unit in session.units(*kinds)}


def shape(session: PlannedSession) -> tuple[tuple[SlotKind, str, int], ...]:
    """What a session is for, without the reasons."""
    return tuple((slot.kind, slot.unit, slot.minutes) for slot in session.slots)


def differences(old: TermPlan, new: TermPlan) -> tuple[PlanDifference, ...]:
    """In what each evening changed, in order of date, then what fits no longer or fits now; nothing if
    nothing changed."""
    before, after = topics_by_evening(old), topics_by_evening(new)
    shapes = {session.on: shape(session) for session in old.sessions}
    found, other_minutes = [], []
    for session in new.sessions:
        was, now = before.get(session.on), after[session.on]
        if was is None:
            found.append(PlanDifference(Difference.ADDED, (session.on,), now=now))
        elif was != now:
            found.append(PlanDifference(Difference.CHANGED, (session.on,), was, now))
        elif shapes[session.on] != shape(session):
            other_minutes.append(session.on)
    found += [
        PlanDifference(Difference.CANCELLED, (on,), was) for on, was in before.items() if on not in after
    ]
    found = sorted((*_locks(old, new), *found), key=lambda each: each.evenings)
    if other_minutes:
        found.append(PlanDifference(Difference.OTHER_MINUTES, tuple(other_minutes)))
    return (*found, *_joined_and_left(old, new))


def _locks(old: TermPlan, new: TermPlan) -> Iterator[PlanDifference]:
    locked = {session.on: session.locked for session in old.sessions}
    for session in new.sessions:
        if session.locked != locked.get(session.on, session.locked):
            what = Difference.LOCKED if session.locked else Difference.UNLOCKED
            yield PlanDifference(what, (session.on,))


def _joined_and_left(old: TermPlan, new: TermPlan) -> Iterator[PlanDifference]:
    left = tuple(code for code in new.left_over if code not in old.left_over)
    joined = tuple(code for code in old.left_over if code not in (*new.left_over, *new.known))
    if left:
        yield PlanDifference(Difference.FITS_NO_LONGER, units=left)
    if joined:
        yield PlanDifference(Difference.FITS_NOW, units=joined)


def rest_of(
    plan: TermPlan,
    first: date,
    *,
    cancelled: Collection[date] = (),
    known: frozenset[str] = frozenset(),
    not_done: frozenset[str] = frozenset(),
    has_answers: bool = False,
) -> TermRequest:
    """What to ask for the sessions from `first` on: the earlier ones are kept, and those that are locked.

    `cancelled` are evenings that do not take place; a lock on them ends. Units in `not_done` are
    planned once more though they were planned before `first`. `known` units are those that the group
    knows by now; once the term has begun only those of them count that the plan has not taught, because
    what it began it also ends.

    Raises CoachbookError if an evening to cancel is not in the plan or lies before `first`, a unit in
    `not_done` was not planned, or no evening is left.
    """
    _check_cancelled(plan, first, cancelled)
    past = tuple(session for session in plan.sessions if session.on < first)
    taught = planned_units(past)
    for unit in sorted(not_done - taught):
        raise CoachbookError(
            f"The unit {unit} was not planned before {shown_day(first)}.",
            "Name a unit that was planned before then.",
        )
    rest = [session for session in plan.sessions if session.on >= first and session.on not in cancelled]
    if not rest:
        raise CoachbookError(f"No evening is left from {shown_day(first)} on.", "Plan a new term.")
    return TermRequest(
        dates=tuple(session.on for session in rest if not session.locked),
        minutes=plan.minutes,
        starts_on=plan.starts_on,
        ends_on=plan.ends_on,
        known=frozenset(plan.known) | (known - taught) if past else known,
        goal=plan.goal,
        pins=tuple(pin for pin in plan.pins if pin.on >= first),
        past=past,
        locked=tuple(session for session in rest if session.locked),
        not_done=tuple(dict.fromkeys((*plan.not_done, *(NotDone(unit, first) for unit in sorted(not_done))))),
        has_answers=has_answers,
        sharing=plan.room,
        at=plan.at,
        zone=plan.zone,
    )


def _check_cancelled(plan: TermPlan, first: date, cancelled: Collection[date]) -> None:
    on_plan = {session.on for session in plan.sessions}
    for on in sorted(cancelled):
        if on not in on_plan:
            raise CoachbookError(
                f"{shown_day(on)} cannot be cancelled: there is no evening on it.",
                Advice(Step.LIST_THE_EVENINGS),
            )
        if on < first:
            raise CoachbookError(
                f"{shown_day(on)} cannot be cancelled: only evenings from {shown_day(first)} on"
                " are replanned.",
                Advice(Step.PLAN_FROM_EARLIER, {"on": str(on)}),
            )


def taken_over(plans: Sequence[TermPlan], days: Closure) -> TermPlan | None:
    """What the plans in force have on days for which a new one is made, as one plan; None if nothing."""
    sessions = [each for plan in plans for each in plan.sessions if each.on in days]
    cancelled = [each for plan in plans for each in plan.cancelled if each.on in days]
    if not (sessions or cancelled):
        return None
    dates = {session.on for session in sessions} | {gone.on for gone in cancelled}
    concerned = [plan for plan in plans if any(on in plan.days for on in dates)]
    return replace(
        concerned[-1],
        starts_on=days.first,
        ends_on=days.last,
        sessions=tuple(sorted(sessions, key=lambda each: each.on)),
        cancelled=tuple(sorted(cancelled, key=lambda each: each.on)),
        pins=tuple(pin for plan in concerned for pin in plan.pins if pin.on in days),
        not_done=tuple(each for plan in concerned for each in plan.not_done if each.before in days),
    )


def promised(plans: Iterable[TermPlan], before: date, held: Collection[date], today: date) -> frozenset[str]:
    """Units that terms which are under way will have done before a day, if all goes as planned.

    A term is under way while an evening of it from `today` on was not `held`. What it has planned counts,
    but for what goes on after that day, and what was not done and is not planned again.
    """
    found = set[str]()
    for plan in plans:
        sessions = [session for session in plan.sessions if session.on < before]
        if any(session.on >= today and session.on not in held for session in sessions):
            again = {each.unit: each.before for each in sorted(plan.not_done, key=lambda each: each.before)}
            done = {
                unit
                for session in sessions
                for unit in planned_units([session])
                if session.on >= again.get(unit, date.min)
            }
            found |= done - planned_units(session for session in plan.sessions if session.on >= before)
    return frozenset(found)


def without_answers(plan: TermPlan, first: date, progress: Iterable[UnitProgress]) -> frozenset[str]:
    """Units that were to be practised before `first` and in which nobody has done anything since.

    Where nothing at all was logged since the term began, the plan is taken at its word.
    """
    last_seen: dict[str, date] = {}
    for each in progress:
        for evening in each.evenings:
            last_seen[each.unit] = max(evening.on, last_seen.get(each.unit, date.min))
    if not any(on >= plan.starts_on for on in last_seen.values()):
        return frozenset()
    redone = {each.unit: each.before for each in sorted(plan.not_done, key=lambda each: each.before)}
    found = set()
    for session in plan.sessions:
        if session.on < first:
            for unit in planned_units([session], (SlotKind.PRACTICE,)):
                since = max(plan.starts_on, redone.get(unit, date.min))
                if session.on >= since and last_seen.get(unit, date.min) < since:
                    found.add(unit)
    return frozenset(found)


def succeed(old: TermPlan | None, new: TermPlan) -> TermPlan:
    """The new plan as the one that follows the old: evenings that changed count one up, and those that
    take place no more are kept as cancelled, so that a calendar that knows the old plan follows."""
    if old is None:
        return new
    before = {session.on: session for session in old.sessions}
    gone = {each.on: each.sequence for each in old.cancelled}
    clock_changed = (old.at, old.zone) != (new.at, new.zone)
    was, now = topics_by_evening(old), topics_by_evening(new)
    sessions = []
    for session in new.sessions:
        sequence = gone.pop(session.on) + 1 if session.on in gone else session.sequence
        if earlier := before.pop(session.on, None):
            same = shape(earlier) == shape(session) and was[session.on] == now[session.on]
            sequence = earlier.sequence + (clock_changed or not same)
        sessions.append(replace(session, sequence=sequence))
    gone |= {on: session.sequence + 1 for on, session in before.items()}
    cancelled = tuple(CancelledSession(on, gone[on]) for on in sorted(gone) if on >= new.starts_on)
    return replace(new, sessions=tuple(sessions), cancelled=cancelled)

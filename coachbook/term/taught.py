"""What a group was taught by its plans, what an assessment asks for of it, and who of it has missed what:
absent, or not there yet.

A unit was taught on the evenings on which its plan has it as new, unless the coach noted afterwards that it
was not done: then it is to be taught again first. An evening of which nothing is logged is taken at the
plan's word.
"""

from collections.abc import Collection, Iterable, Mapping, Sequence
from datetime import date

from coachbook.model.syllabus import Syllabus
from coachbook.model.term_plan import PlannedCatchUp, PlannedSession, SlotKind, TermPlan, Why

CATCH_UP_MINUTES = 10
"""With the coach or a partner; common practice, no source."""
_OF_A_LEVEL = (Why.LEVEL_DONE, Why.LAST_EVENING)

Lessons = Mapping[str, tuple[date, ...]]
"""By unit, the evenings on which it was explained; none of what a group knew when its term began."""


def lessons_before(plans: Iterable[TermPlan], before: date) -> Lessons:
    """What a group was taught before a day, in the order in which it was."""
    known: dict[str, tuple[date, ...]] = {}
    found: dict[str, tuple[date, ...]] = {}
    for plan in plans:
        if plan.starts_on <= before:
            known |= dict.fromkeys(plan.known, ())
        again = _to_do_again(plan, before)
        for session in plan.sessions:
            for unit in session.units(SlotKind.NEW) if session.on < before else ():
                if session.on >= again.get(unit, date.min):
                    found[unit] = (*found.get(unit, ()), session.on)
        for unit, since in again.items():
            if not any(on >= since for on in found.get(unit, ())):
                found.pop(unit, None)
                known.pop(unit, None)
    return {**{unit: days for unit, days in known.items() if unit not in found}, **found}


def to_be_taught_again(plans: Iterable[TermPlan], before: date) -> frozenset[str]:
    """The units of which the coach noted that they were not done, and that have not been explained since."""
    plans = tuple(plans)
    lessons = lessons_before(plans, before)
    return frozenset(unit for plan in plans for unit in _to_do_again(plan, before) if unit not in lessons)


def _to_do_again(plan: TermPlan, before: date) -> dict[str, date]:
    """From when on each unit that was not done counts."""
    noted = sorted(plan.not_done, key=lambda each: each.before)
    return {each.unit: each.before for each in noted if each.before <= before}


def missed_units(
    lessons: Lessons, held: Collection[date], there: Collection[date], worked: Collection[str]
) -> tuple[str, ...]:
    """The units of which a student missed something: one of its evenings was `held` without the student,
    who was `there` on others; or the group knew it before. What the student has `worked` in is not missed
    any more.
    """
    return tuple(
        unit
        for unit, days in lessons.items()
        if unit not in worked and (not days or any(on in held and on not in there for on in days))
    )


def next_catch_up(missed: Sequence[str], session: PlannedSession) -> str:
    """Which of the units that a student missed comes on an evening: first what is practised on it, else the
    first that is not new again anyway; "" if there is none."""
    again = session.units(SlotKind.NEW)
    practised = session.units(SlotKind.PRACTICE, SlotKind.PLAY_OUT)
    waiting = [unit for unit in missed if unit not in again]
    return next((unit for unit in waiting if unit in practised), waiting[0] if waiting else "")


def assessed_units(
    syllabus: Syllabus, sessions: Iterable[PlannedSession], session: PlannedSession
) -> tuple[str, ...]:
    """What the assessment of an evening asks for, in the order of the syllabus: the whole of the level that
    is done by then, else what these sessions of the term have as practice up to the evening; nothing where
    there is no assessment."""
    slot = next((slot for slot in session.slots if slot.kind is SlotKind.ASSESSMENT), None)
    if slot is None:
        return ()
    if slot.why is not None and slot.why.why in _OF_A_LEVEL and slot.why.number:
        return tuple(unit.code for unit in syllabus.units if unit.level == slot.why.number)
    practised = {unit for each in sessions if each.on <= session.on for unit in each.units(SlotKind.PRACTICE)}
    return tuple(unit.code for unit in syllabus.units if unit.code in practised)


def plan_catch_ups(
    missed: Mapping[str, Sequence[str]], sessions: Iterable[PlannedSession]
) -> tuple[PlannedCatchUp, ...]:
    """On each of the evenings to come one unit for each student who missed some, as long as there are any;
    what is new again by then is not missed any more."""
    left = {student: list(units) for student, units in missed.items()}
    found = list[PlannedCatchUp]()
    for session in sessions:
        again = session.units(SlotKind.NEW)
        for student, units in left.items():
            if unit := next_catch_up(units, session):
                found.append(PlannedCatchUp(student, unit, session.on))
            left[student] = [each for each in units if each != unit and each not in again]
    return tuple(found)


Stretch = tuple[int, int]
"""From a minute to a minute."""


def coach_is_needed(session: PlannedSession, begins: int = 0) -> tuple[Stretch, ...]:
    """When a group needs the coach on an evening that begins at this minute."""
    return tuple(
        (begins + start, begins + start + slot.minutes) for start, slot in session.timed if slot.with_coach
    )


def free_for_catch_up(needed: Iterable[Stretch], since: int, until: int) -> tuple[int, ...]:
    """The minutes, from `since` up to `until`, at which a catch-up with the coach can begin, one after the
    other: the coach is not needed elsewhere then."""
    taken, found, at = tuple(needed), list[int](), since
    while at + CATCH_UP_MINUTES <= until:
        ends = [end for start, end in taken if start < at + CATCH_UP_MINUTES and at < end]
        if not ends:
            found.append(at)
        at = max(ends, default=at + CATCH_UP_MINUTES)
    return tuple(found)

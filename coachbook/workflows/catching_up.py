"""Who has missed what, and may practise what, as a plan and the log have it when an evening begins."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from itertools import combinations

from coachbook.club.book import Reading
from coachbook.club.groups import terms_of
from coachbook.club.results import EveningsByUnit, attendance
from coachbook.model.syllabus import Syllabus
from coachbook.model.term_plan import PlannedSession, SlotKind
from coachbook.term.taught import (
    CATCH_UP_MINUTES,
    coach_is_needed,
    free_for_catch_up,
    lessons_before,
    missed_units,
    to_be_taught_again,
)
from coachbook.workflows.members import held_among


@dataclass(frozen=True, slots=True)
class Taught:
    """What each student of a group, by name, was taught before an evening, and what of the group's lessons
    each missed, in the order of the syllabus; `again` is to be explained once more before anybody practises
    it."""

    known: Mapping[str, frozenset[str]]
    missed: Mapping[str, tuple[str, ...]]
    again: frozenset[str]


def taught_before(
    tx: Reading, syllabus: Syllabus, group: str, by_student: Mapping[str, EveningsByUnit], on: date
) -> Taught:
    """By the terms of a group, and what its students did `by_student` before the evening. Raises
    CoachbookError for an unknown group."""
    plans = [term.plan for term in terms_of(tx, group)]
    lessons, again = lessons_before(plans, on), to_be_taught_again(plans, on)
    held = held_among(tx, group, {day for days in lessons.values() for day in days})
    order = {unit.code: number for number, unit in enumerate(syllabus.units)}
    present: dict[str, set[date]] = {}
    for mark in attendance(tx, group=group):
        if mark.present:
            present.setdefault(mark.student, set()).add(mark.on)
    known, missed = dict[str, frozenset[str]](), dict[str, tuple[str, ...]]()
    for name, seen in by_student.items():
        there = present.get(name, set()) | {evening.on for own in seen.values() for evening in own}
        gaps = missed_units(lessons, held, there, seen)
        missed[name] = tuple(sorted((unit for unit in gaps if unit in order), key=order.__getitem__))
        known[name] = (frozenset(lessons) - frozenset(gaps)) | (frozenset(seen) - again)
    return Taught(known, missed, again)


@dataclass(frozen=True, slots=True)
class GroupTonight:
    """A group's evening: when it begins (a minute of the day), and the units that some catch up."""

    group: str
    session: PlannedSession
    begins: int
    to_catch_up: Sequence[str]


def catch_up_times(groups: Sequence[GroupTonight]) -> dict[tuple[str, str], int]:
    """By group and unit, the minute of its evening at which the coach has time to explain the unit once
    more to those who missed it; without such a time it is not there. Groups that are there then hear it
    together."""
    taken = [each for group in groups for each in coach_is_needed(group.session, group.begins)]
    found, planned = dict[tuple[str, str], int](), dict[str, int]()
    for group in groups:
        until = group.begins + group.session.minutes - _spare(group.session)
        for unit in dict.fromkeys(group.to_catch_up):
            free = free_for_catch_up(taken, group.begins, until)
            at = planned.get(unit, -1)
            if not group.begins <= at <= until - CATCH_UP_MINUTES:
                if not free:
                    continue
                at = planned[unit] = free[0]
                taken.append((at, at + CATCH_UP_MINUTES))
            found[group.group, unit] = at - group.begins
    return found


def needed_twice(groups: Sequence[GroupTonight]) -> dict[int, tuple[str, ...]]:
    """By the minute of the day: the groups of which each needs the coach for something else from then on.
    Plans that were made together leave none."""
    needs = {
        (group.group, group.begins + start, group.begins + start + slot.minutes): (slot.kind, slot.unit)
        for group in groups
        for start, slot in group.session.timed
        if slot.with_coach
    }
    found: dict[int, set[str]] = {}
    for ((one, start, end), about), ((other, begins, ends), also) in combinations(needs.items(), 2):
        if one != other and start < ends and begins < end and (start, about) != (begins, also):
            found.setdefault(max(start, begins), set()).update((one, other))
    return {minute: tuple(sorted(names)) for minute, names in sorted(found.items())}


def _spare(session: PlannedSession) -> int:
    return sum(slot.minutes for slot in session.slots if slot.kind is SlotKind.BUFFER)


def missing_in(
    tx: Reading, syllabus: Syllabus, group: str, seen: Mapping[str, EveningsByUnit], on: date
) -> dict[str, tuple[str, ...]]:
    """The units that students of a group, who have done what was `seen`, missed and have yet to begin, by
    those who did, when an evening begins. Raises CoachbookError for an unknown group."""
    found = taught_before(tx, syllabus, group, seen, on).missed
    return {name: units for name, units in found.items() if units}


def missed_by(
    tx: Reading, syllabus: Syllabus, group: str, student: str, seen: EveningsByUnit, on: date
) -> tuple[str, ...]:
    """The same of one student of the group alone, who has done what was `seen`."""
    return taught_before(tx, syllabus, group, {student: seen}, on).missed[student]

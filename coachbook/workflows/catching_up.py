"""Who has missed what, and may practise what, as a plan and the log have it when an evening begins."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date

from coachbook.club.book import Reading
from coachbook.club.groups import terms_of
from coachbook.club.results import EveningsByUnit, attendance, evenings
from coachbook.model.syllabus import Syllabus
from coachbook.model.term_plan import PlannedSession, SlotKind
from coachbook.term.taught import coach_is_free, lessons_before, missed_units, to_be_taught_again
from coachbook.workflows.members import days_held


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
    held = frozenset(day for day in days_held(tx, group) if day < on)
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


def catch_up_times(sessions: Sequence[PlannedSession], units: Sequence[str]) -> dict[str, int]:
    """When the coach has time to explain units once more to those who missed them, by the minute of an
    evening whose groups have these sessions; a unit for which there is no such time is not there."""
    until = min((session.minutes - _spare(session) for session in sessions), default=0)
    return dict(zip(dict.fromkeys(units), coach_is_free(sessions, until), strict=False))


def _spare(session: PlannedSession) -> int:
    return sum(slot.minutes for slot in session.slots if slot.kind is SlotKind.BUFFER)


def missing_in(tx: Reading, syllabus: Syllabus, group: str, on: date) -> dict[str, tuple[str, ...]]:
    """The units that students of a group missed and have yet to begin, by those who did, when an evening
    begins. Raises CoachbookError for an unknown group."""
    found = taught_before(tx, syllabus, group, evenings(tx, group=group), on).missed
    return {name: units for name, units in found.items() if units}

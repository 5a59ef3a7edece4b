"""A lesson that several groups of a room have at once is one lesson: what was not finished of it is asked
about once, and holds for all of them."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date

from coachbook.club.book import Book, Reading
from coachbook.model.term_plan import PlannedSession, SlotKind
from coachbook.term.replan import shape
from coachbook.workflows.members import planned_again, planned_session, term_at


@dataclass(frozen=True, slots=True)
class Said:
    """The units (by code) of a group's evening of which it was said already, as another group of the same
    lesson was closed, whether they were finished; and those of them that were not."""

    units: frozenset[str] = frozenset()
    unfinished: frozenset[str] = frozenset()

    def __or__(self, other: "Said") -> "Said":
        return Said(self.units | other.units, self.unfinished | other.unfinished)


NOTHING_SAID = Said()


def joint_units(tx: Reading, group: str, on: date) -> dict[str, frozenset[str]]:
    """By the other groups of a group's room: the units of an evening that both had in one lesson, which are
    all where their whole evenings are alike. Groups without one are not there."""
    session = planned_session(tx, group, on)
    room = term_at(tx, group, on).plan.room if session is not None else ()
    found = {}
    for other in sorted({*room} - {group}):
        theirs = planned_session(tx, other, on)
        if session is not None and theirs is not None and (units := _in_one_lesson(session, theirs)):
            found[other] = units
    return found


def _in_one_lesson(one: PlannedSession, other: PlannedSession) -> frozenset[str]:
    if shape(one) == shape(other):
        return frozenset(one.units(*SlotKind))
    explained, theirs = (
        {(start, slot.unit) for start, slot in session.timed if slot.with_coach and slot.unit}
        for session in (one, other)
    )
    return frozenset(unit for _, unit in explained & theirs)


def said_before(book: Book, group: str, on: date) -> Said:
    """What the plan of a group, of whose evening nothing is logged yet, knows already: it was said as another
    group was closed. Raises CoachbookError if the group has no plan."""
    with book.reading() as tx:
        shared = joint_units(tx, group, on)
        again = planned_again(tx, group, on) if shared else frozenset()
    joint = frozenset[str]().union(*shared.values())
    return Said(joint, again & joint) if again & joint else NOTHING_SAID


def said_of_others(book: Book, group: str, on: date, unfinished: frozenset[str]) -> Mapping[str, Said]:
    """What it says of other groups that of a group's evening these units were not finished, and all else
    was."""
    with book.reading() as tx:
        return {other: Said(units, units & unfinished) for other, units in joint_units(tx, group, on).items()}

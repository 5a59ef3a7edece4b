"""Renaming and removing a teaching group, with all that hangs on it: a plan names its room mates."""

import json
from collections.abc import Callable
from dataclasses import dataclass, replace

from sqlmodel import col, delete, func, select

from coachbook.club.book import Reading, Writing
from coachbook.club.names import clean_name, name_key
from coachbook.club.rows import (
    GroupRow,
    LogEntryRow,
    MembershipRow,
    PreparedRow,
    TakenBackRow,
    TermPlanRow,
)
from coachbook.club.stored import term_plan_from, term_plan_text
from coachbook.club.students import list_groups, list_students, roll_of_groups
from coachbook.club.terms import terms_of
from coachbook.model.facts import Student
from coachbook.model.term_plan import NAMES_GROUPS, PlannedSession, Slot, TermPlan

"""In a plan's words, what stands before the names of other groups."""


@dataclass(frozen=True, slots=True)
class Held:
    """What hangs on a group: its `students`, the `plans` of its terms, on how many evenings papers were
    made `ready`, and the other groups whose plans share a room with it."""

    group: str
    students: tuple[Student, ...]
    plans: tuple[TermPlan, ...]
    ready: int
    room_mates: tuple[str, ...]

    @property
    def is_empty(self) -> bool:
        """Whether nothing goes with the group."""
        return not (self.students or self.plans or self.ready)


def held_by(book: Reading, group: str) -> Held:
    """What hangs on a group. Raises CoachbookError for an unknown one."""
    roll = roll_of_groups(book)
    group_id, name = roll.id_of(group), roll.name_of(group)
    evenings = select(func.count(func.distinct(col(PreparedRow.evening))))
    others = [other.name for other in list_groups(book) if other.name != name]
    return Held(
        name,
        tuple(list_students(book, name)),
        tuple(term.plan for term in terms_of(book, name)),
        book.session.exec(evenings.where(PreparedRow.group_id == group_id)).one(),
        tuple(other for other in others if any(name in term.plan.room for term in terms_of(book, other))),
    )


def rename_group(book: Writing, old: str, new: str) -> tuple[str, str]:
    """Gives a group another name, also where plans name it: the name as it was, and as it is.

    Raises CoachbookError for an unknown group, and for a name that is none or is another group's.
    """
    roll = roll_of_groups(book)
    group_id, known, name = roll.id_of(old), roll.name_of(old), clean_name(new, "group")
    if name_key(name) != name_key(known):
        roll.check_free(name)
    row = book.session.exec(select(GroupRow).where(GroupRow.id == group_id)).one()
    row.name = name
    book.session.add(row)
    _change_plans(book, known, lambda plan: _with_name(plan, known, name))
    return known, name


def remove_group(book: Writing, group: str) -> Held:
    """Removes a group, its plans, and which papers were made ready for it; returns what hung on it.

    Students, sheets and the log stay as they are; plans of others no longer share a room with it.
    Raises CoachbookError for an unknown group.
    """
    held = held_by(book, group)
    group_id = roll_of_groups(book).id_of(group)
    planned = set(book.session.exec(select(TermPlanRow.entry_id).where(TermPlanRow.group_id == group_id)))
    for table in (MembershipRow, PreparedRow, TermPlanRow, TakenBackRow):
        book.session.exec(delete(table).where(col(table.group_id) == group_id))
    others = set(book.session.exec(select(TermPlanRow.entry_id)))
    book.session.exec(delete(LogEntryRow).where(col(LogEntryRow.id).in_(planned - others)))
    book.session.exec(delete(GroupRow).where(col(GroupRow.id) == group_id))
    _change_plans(book, held.group, lambda plan: _without(plan, held.group))
    return held


def _change_plans(book: Writing, name: str, change: Callable[[TermPlan], TermPlan]) -> None:
    """Changes all plans that share a room with the group of this name, also earlier ones and those that
    were taken back."""
    plans = select(TermPlanRow, GroupRow.name).join(GroupRow)
    for row, group in book.session.exec(plans).all():
        plan = term_plan_from(row.body, group)
        if name in plan.room:
            row.body = term_plan_text(change(plan))
            book.session.add(row)
    taken_back = select(TakenBackRow, GroupRow.name).join(GroupRow)
    for gone, group in book.session.exec(taken_back).all():
        told = json.loads(gone.body)
        plan = term_plan_from(told["body"], group)
        if name in plan.room:
            gone.body = json.dumps(told | {"body": term_plan_text(change(plan))}, ensure_ascii=False)
            book.session.add(gone)
    book.session.flush()


def _with_name(plan: TermPlan, old: str, new: str) -> TermPlan:
    def changed(names: tuple[str, ...]) -> tuple[str, ...]:
        return tuple(new if name == old else name for name in names)

    def reworded(slot: Slot) -> Slot:
        if slot.why is None or slot.why.why not in NAMES_GROUPS:
            return slot
        return replace(slot, why=replace(slot.why, names=changed(slot.why.names)))

    def renamed(session: PlannedSession) -> PlannedSession:
        return replace(session, slots=tuple(map(reworded, session.slots)))

    return replace(plan, room=changed(plan.room), sessions=tuple(map(renamed, plan.sessions)))


def _without(plan: TermPlan, group: str) -> TermPlan:
    left = tuple(name for name in plan.room if name != group)
    return replace(plan, room=left if len(left) > 1 else ())

"""Renaming and removing a teaching group, with all that hangs on it, and its name in plans of others."""

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


@dataclass(frozen=True, slots=True)
class Held:
    """What hangs on a group: its `students`, the `plans` of its terms, on how many evenings papers were
    made `ready`, and the other groups whose plans share a hall with it."""

    group: str
    students: tuple[Student, ...]
    plans: tuple[TermPlan, ...]
    ready: int
    sharing_hall: tuple[str, ...]

    @property
    def is_empty(self) -> bool:
        """Whether nothing goes with the group."""
        return not (self.students or self.plans or self.ready)


def held_by(tx: Reading, group: str) -> Held:
    """What hangs on a group. Raises CoachbookError for an unknown one."""
    roll = roll_of_groups(tx)
    group_id, name = roll.id_of(group), roll.name_of(group)
    evenings = select(func.count(func.distinct(col(PreparedRow.evening))))
    others = [other.name for other in list_groups(tx) if other.name != name]
    return Held(
        name,
        tuple(list_students(tx, name)),
        tuple(term.plan for term in terms_of(tx, name)),
        tx.session.exec(evenings.where(PreparedRow.group_id == group_id)).one(),
        tuple(other for other in others if any(name in term.plan.room for term in terms_of(tx, other))),
    )


def rename_group(tx: Writing, old: str, new: str) -> tuple[str, str]:
    """Gives a group another name, also where plans name it: the name as it was, and as it is.

    Raises CoachbookError for an unknown group, and for a name that is none or is another group's.
    """
    roll = roll_of_groups(tx)
    group_id, known, name = roll.id_of(old), roll.name_of(old), clean_name(new, "group")
    if name_key(name) != name_key(known):
        roll.check_free(name)
    row = tx.session.exec(select(GroupRow).where(GroupRow.id == group_id)).one()
    row.name = name
    tx.session.add(row)
    _change_plans(tx, known, lambda plan: _with_name(plan, known, name))
    return known, name


def remove_group(tx: Writing, group: str) -> Held:
    """Removes a group, its plans, and which papers were made ready for it; returns what hung on it.

    Students, sheets and the log stay as they are; plans of others no longer share a hall with it.
    Raises CoachbookError for an unknown group.
    """
    held = held_by(tx, group)
    group_id = roll_of_groups(tx).id_of(group)
    planned = set(tx.session.exec(select(TermPlanRow.entry_id).where(TermPlanRow.group_id == group_id)))
    for table in (MembershipRow, PreparedRow, TermPlanRow, TakenBackRow):
        tx.session.exec(delete(table).where(col(table.group_id) == group_id))
    others = set(tx.session.exec(select(TermPlanRow.entry_id)))
    tx.session.exec(delete(LogEntryRow).where(col(LogEntryRow.id).in_(planned - others)))
    tx.session.exec(delete(GroupRow).where(col(GroupRow.id) == group_id))
    _change_plans(tx, held.group, lambda plan: _without(plan, held.group))
    return held


def _change_plans(tx: Writing, name: str, change: Callable[[TermPlan], TermPlan]) -> None:
    """Changes all plans that share a hall with the group of this name, also earlier ones and those that
    were taken back."""
    plans = select(TermPlanRow, GroupRow.name).join(GroupRow)
    for row, group in tx.session.exec(plans).all():
        plan = term_plan_from(row.body, group)
        if name in plan.room:
            row.body = term_plan_text(change(plan))
            tx.session.add(row)
    taken_back = select(TakenBackRow, GroupRow.name).join(GroupRow)
    for gone, group in tx.session.exec(taken_back).all():
        stored = json.loads(gone.body)
        plan = term_plan_from(stored["body"], group)
        if name in plan.room:
            gone.body = json.dumps(stored | {"body": term_plan_text(change(plan))}, ensure_ascii=False)
            tx.session.add(gone)
    tx.session.flush()


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

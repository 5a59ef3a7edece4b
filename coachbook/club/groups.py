"""The teaching groups: renamed, removed; and the plans of their terms.

Days that two terms of a group are planned for belong to the one that was planned later.
"""

import json
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from datetime import datetime

from sqlalchemy import ColumnElement
from sqlmodel import col, delete, func, select

from coachbook.club.book import Reading, Writing
from coachbook.club.log import add_entry
from coachbook.club.names import clean_name, name_key
from coachbook.club.rows import (
    ClosingRow,
    GroupRow,
    LogEntryRow,
    MembershipRow,
    PreparedRow,
    TakenBackRow,
    TermPlanRow,
)
from coachbook.club.stored import term_plan_from, term_plan_text
from coachbook.club.students import in_order, list_groups, list_students, roll_of_groups
from coachbook.model.facts import LogEntry, Student
from coachbook.model.term_plan import NAMES_GROUPS, PlanChange, PlannedSession, Slot, Term, TermPlan


def save_terms(tx: Writing, terms: Sequence[Term], change: PlanChange, logged_at: datetime) -> LogEntry:
    """Saves plans in place of those before, as one entry of the log that can be taken back.

    Raises CoachbookError for an unknown group.
    """
    roll = roll_of_groups(tx)
    facts = [
        {
            "group_id": roll.id_of(term.group),
            "term": term.number,
            "change": str(change),
            "body": term_plan_text(replace(term.plan, taken_over=())),
        }
        for term in terms
    ]
    return add_entry(tx, TermPlanRow, facts, logged_at)


def new_term(tx: Reading, group: str, plan: TermPlan) -> Term:
    """A plan as that of a term that the book has no other plan of. Raises CoachbookError for an unknown
    group."""
    group_id = roll_of_groups(tx).id_of(group)
    highest = func.coalesce(func.max(TermPlanRow.term), 0)
    kept = tx.session.exec(select(highest).where(TermPlanRow.group_id == group_id)).one()
    gone = func.coalesce(func.max(func.json_extract(TakenBackRow.body, "$.term")), 0)
    taken_back = tx.session.exec(select(gone).where(TakenBackRow.group_id == group_id)).one()
    return Term(group, max(kept, taken_back) + 1, plan)


def groups_with_plan(tx: Reading) -> list[str]:
    """The groups that have a term plan, by name."""
    planned = select(GroupRow.name).where(col(GroupRow.id).in_(select(TermPlanRow.group_id)))
    return sorted(tx.session.exec(planned), key=in_order)


def terms_of(tx: Reading, group: str) -> tuple[Term, ...]:
    """A group's terms in order of their days, each with the plan in force: no two have an evening on one
    day. Raises CoachbookError for an unknown group, or a damaged plan."""
    roll = roll_of_groups(tx)
    name = roll.name_of(group)
    return _terms(tx, TermPlanRow.group_id == roll.id_of(group)).get(name, ())


def terms_of_all(tx: Reading) -> dict[str, tuple[Term, ...]]:
    """The same by name for every group that has a term. Raises CoachbookError for a damaged plan."""
    return _terms(tx)


def _terms(tx: Reading, *which: ColumnElement[bool] | bool) -> dict[str, tuple[Term, ...]]:
    newest_first = (
        select(GroupRow.name, TermPlanRow.term, TermPlanRow.body)
        .join_from(TermPlanRow, GroupRow)
        .where(*which)
        .order_by(col(TermPlanRow.term).desc(), col(TermPlanRow.entry_id).desc(), col(TermPlanRow.id).desc())
    )
    found: dict[str, list[tuple[int, str]]] = {}
    for name, number, body in tx.session.exec(newest_first):
        found.setdefault(name, []).append((number, body))
    return {name: _in_force(name, plans) for name, plans in found.items()}


def _in_force(name: str, newest_first: Sequence[tuple[int, str]]) -> tuple[Term, ...]:
    """The terms of a group, by their numbers and the texts of their plans."""
    found: list[Term] = []
    taken = set[int]()
    later: list[TermPlan] = []
    for number, body in newest_first:
        if number in taken:
            continue
        taken.add(number)
        plan = term_plan_from(body, name)
        left = _less(plan, later)
        later.append(plan)
        if left is not None:
            found.append(Term(name, number, left))
    return tuple(sorted(found, key=lambda term: (term.plan.starts_on, term.number)))


def _less(plan: TermPlan, later: Sequence[TermPlan]) -> TermPlan | None:
    left: TermPlan | None = plan
    for other in later:
        left = left.without(other.days) if left is not None else None
    return left


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
    planned = terms_of_all(tx)
    others = [other.name for other in list_groups(tx) if other.name != name]
    return Held(
        name,
        tuple(list_students(tx, name)),
        tuple(term.plan for term in planned.get(name, ())),
        tx.session.exec(evenings.where(PreparedRow.group_id == group_id)).one(),
        tuple(other for other in others if any(name in term.plan.room for term in planned.get(other, ()))),
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
    """Removes a group, its plans, which papers were made ready for it and which of its evenings were
    closed; returns what hung on it.

    Students, sheets and the log stay as they are; plans of others no longer share a hall with it.
    Raises CoachbookError for an unknown group.
    """
    held = held_by(tx, group)
    group_id = roll_of_groups(tx).id_of(group)
    planned = set(tx.session.exec(select(TermPlanRow.entry_id).where(TermPlanRow.group_id == group_id)))
    for table in (MembershipRow, PreparedRow, ClosingRow, TermPlanRow, TakenBackRow):
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

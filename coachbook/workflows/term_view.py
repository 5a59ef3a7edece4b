"""The terms of all groups on a screen: evenings by groups, as on the wall; and one evening whole."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date

from coachbook.club.book import Book, Reading
from coachbook.club.evenings_met import evenings_held
from coachbook.club.groups import terms_of_all
from coachbook.club.students import list_groups
from coachbook.errors import Advice, CoachbookError, Step
from coachbook.model.facts import Group
from coachbook.model.syllabus import Syllabus
from coachbook.model.term_plan import (
    Closure,
    PlannedCatchUp,
    PlannedReview,
    PlannedSession,
    Slot,
    SlotKind,
    TermPlan,
    learning_together,
)
from coachbook.workflows.members import first_open
from coachbook.workflows.planning import PlannedTerm, term_of
from coachbook.workflows.replanning import units_begun


@dataclass(frozen=True, slots=True)
class WallCell:
    """A group's evening. Each of its `slots` has the minute at which it begins, and the other groups to which
    the same is explained. `pinned` are the units that are to begin on it, `not_done` those of which the plan
    says so by now; it `was_held` by the log."""

    session: PlannedSession
    at: str
    slots: tuple[tuple[int, Slot, tuple[str, ...]], ...]
    pinned: tuple[str, ...]
    not_done: tuple[str, ...]
    was_held: bool

    def is_pinned(self, slot: Slot) -> bool:
        """Whether one of its slots begins a unit that is to begin on it."""
        return slot.kind is SlotKind.NEW and slot.unit in self.pinned


@dataclass(frozen=True, slots=True)
class WallColumn:
    """A group, with the plans of its terms that are on the wall, and its evenings by their dates."""

    group: Group
    plans: tuple[TermPlan, ...]
    cells: Mapping[date, WallCell]

    @property
    def together(self) -> dict[tuple[date, int], tuple[str, ...]]:
        """To which other groups the same is explained, by evening and the minute at which that begins."""
        return {
            (on, start): others
            for on, cell in self.cells.items()
            for start, _, others in cell.slots
            if others
        }

    def plan_on(self, on: date) -> TermPlan:
        """The plan of one of its evenings."""
        return next(plan for plan in self.plans if plan.session_on(on) is not None)


@dataclass(frozen=True, slots=True)
class TermWall:
    """The terms that overlap, from the first of their `days` to the last. `off` are days on which no group
    has an evening though it is its weekday; `terms` the days of all walls, this one's among them."""

    days: Closure
    columns: tuple[WallColumn, ...]
    terms: tuple[Closure, ...]

    @property
    def evenings(self) -> tuple[date, ...]:
        """On which at least one group meets."""
        return tuple(sorted({on for column in self.columns for on in column.cells}))

    @property
    def off(self) -> tuple[date, ...]:
        """Days without club, though it is a weekday of a group."""
        days = {day for column in self.columns for plan in column.plans for day in plan.days_off}
        return tuple(sorted(days.difference(self.evenings)))


@dataclass(frozen=True, slots=True)
class GroupEvening:
    """A group's evening whole: its cell, who reviews and who catches up what, by the name of each student,
    and the units, by code, that `may_begin` on it if they are pinned to it."""

    column: WallColumn
    cell: WallCell
    students: tuple[str, ...]
    reviews: tuple[PlannedReview, ...]
    catch_ups: tuple[PlannedCatchUp, ...]
    may_begin: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class TermEvening:
    """An evening of all groups that meet, and those beside it (None if there is none)."""

    on: date
    groups: tuple[GroupEvening, ...]
    before: date | None
    after: date | None


def term_wall(book: Book, on: date) -> TermWall | None:
    """The terms of which one has a day, or else the next ones, or the last; None if no group has any."""
    with book.reading() as tx:
        return _wall_at(tx, on)


def terms_on_wall(book: Book, syllabus: Syllabus, on: date, today: date) -> tuple[PlannedTerm, ...]:
    """The term of each group on the wall of a day, with who reviews what from today on."""
    wall = term_wall(book, on)
    columns = wall.columns if wall is not None else ()
    return tuple(
        term_of(book, syllabus, column.group.name, max(today, column.plans[0].starts_on))
        for column in columns
    )


def term_evening(book: Book, syllabus: Syllabus, on: date, today: date) -> TermEvening:
    """An evening whole. Raises CoachbookError if no group has planned it."""
    with book.reading() as tx:
        wall = _wall_at(tx, on)
        columns = [column for column in wall.columns if on in column.cells] if wall else []
        begun = {column.group.name: _begun(tx, column, on, today) for column in columns}
    if wall is None or not columns:
        raise CoachbookError("No evening is planned for this day.", Advice(Step.SHOW_THE_TERM))
    groups = tuple(_whole(book, syllabus, column, on, today, begun[column.group.name]) for column in columns)
    days = wall.evenings
    return TermEvening(
        on,
        groups,
        max((day for day in days if day < on), default=None),
        min((day for day in days if day > on), default=None),
    )


def _begun(tx: Reading, column: WallColumn, on: date, today: date) -> frozenset[str]:
    """What can no longer be pinned to an evening: what the group knows, or has begun."""
    first = first_open(tx, column.group.name, today)
    plan = column.plan_on(on)
    return frozenset(plan.known) | units_begun(plan, first)


def _whole(
    book: Book, syllabus: Syllabus, column: WallColumn, on: date, today: date, begun: frozenset[str]
) -> GroupEvening:
    cell = column.cells[on]
    is_open = on >= today and not cell.was_held
    first = max(today, column.plan_on(on).starts_on)
    term = term_of(book, syllabus, column.group.name, first) if is_open else None
    taken = begun.union(cell.pinned, cell.session.units(SlotKind.NEW) if not is_open else ())
    return GroupEvening(
        column,
        cell,
        term.students if term else (),
        tuple(each for each in term.reviews.planned if each.on == on) if term else (),
        tuple(each for each in term.catch_ups if each.on == on) if term else (),
        tuple(unit.code for unit in syllabus.units if unit.code not in taken) if is_open else (),
    )


def _wall_at(tx: Reading, on: date) -> TermWall | None:
    planned = terms_of_all(tx)
    terms = [(group, term.plan) for group in list_groups(tx) for term in planned.get(group.name, ())]
    walls = _spans(plan.days for _, plan in terms)
    if not walls:
        return None
    days = next((wall for wall in walls if on <= wall.last), walls[-1])
    chosen = [(group, plan) for group, plan in terms if plan.starts_on in days]
    return TermWall(days, tuple(_columns(chosen, evenings_held(tx, within=days))), walls)


def _spans(days: Iterable[Closure]) -> tuple[Closure, ...]:
    """Days that overlap as one, in order."""
    found: list[Closure] = []
    for each in sorted(days, key=lambda each: each.first):
        if found and each.first <= found[-1].last:
            found[-1] = Closure(found[-1].first, max(found[-1].last, each.last))
        else:
            found.append(each)
    return tuple(found)


def _columns(
    terms: Sequence[tuple[Group, TermPlan]], held: Mapping[str, frozenset[date]]
) -> Iterable[WallColumn]:
    sessions: dict[str, list[PlannedSession]] = {}
    for group, plan in terms:
        sessions.setdefault(group.name, []).extend(plan.sessions)
    together: dict[tuple[str, date, int], tuple[str, ...]] = {}
    for room in {plan.room for _, plan in terms if plan.room}:
        together |= learning_together({name: sessions[name] for name in room if name in sessions})
    for group in dict.fromkeys(group for group, _ in terms):
        plans = tuple(plan for other, plan in terms if other == group)
        cells = {
            session.on: _cell(group.name, plan, session, together, held[group.name])
            for plan in plans
            for session in plan.sessions
        }
        yield WallColumn(group, plans, cells)


def _cell(
    group: str,
    plan: TermPlan,
    session: PlannedSession,
    together: Mapping[tuple[str, date, int], tuple[str, ...]],
    held: frozenset[date],
) -> WallCell:
    on = session.on
    own = session.units(*SlotKind)
    return WallCell(
        session,
        plan.at,
        tuple((start, slot, together.get((group, on, start), ())) for start, slot in session.timed),
        tuple(pin.unit for pin in plan.pins if pin.on == on),
        tuple(dict.fromkeys(each.unit for each in plan.not_done if each.before > on and each.unit in own)),
        on in held,
    )

"""Changing the plans of terms by hand: what would change is looked at first, and then done just so."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

from coachbook.club.book import Book
from coachbook.club.students import group_numbered
from coachbook.errors import CoachbookError
from coachbook.model.syllabus import Syllabus
from coachbook.model.term_change import TermChange, TermStep
from coachbook.model.term_plan import Closure
from coachbook.workflows.planning import ChangedPlans
from coachbook.workflows.replanning import lock_session, pin_unit, plan_again, replan_terms, unpin_unit


@dataclass(frozen=True, slots=True)
class SeenChange:
    """What a change makes of the plans of its groups (named), as seen on a day."""

    change: TermChange
    groups: tuple[str, ...]
    made: ChangedPlans
    today: date

    @property
    def is_empty(self) -> bool:
        """Whether there is nothing to keep: a pin is kept even where it moves nothing."""
        return not self.made.replaces and self.change.step not in (TermStep.PIN, TermStep.UNPIN)


def look_at_change(book: Book, syllabus: Syllabus, change: TermChange, today: date) -> SeenChange:
    """What a change would make of the plans; nothing is kept. Raises CoachbookError for an unknown group or
    unit, and for what cannot be changed so (see `replanning`)."""
    names = _names(book, change.groups)
    return SeenChange(change, names, _changed(book, syllabus, change, names, today, None), today)


def keep_change(book: Book, syllabus: Syllabus, seen: SeenChange) -> SeenChange:
    """Do what was looked at, as one entry of the log, and nothing else. Raises CoachbookError if it is no
    longer what was seen."""
    made = _changed(book, syllabus, seen.change, seen.groups, seen.today, seen.made)
    return SeenChange(seen.change, seen.groups, made, seen.today)


def days_off(first: Sequence[date], last: Sequence[date | None]) -> tuple[Closure, ...]:
    """Days off, each from a day to another, or that day alone. Raises CoachbookError for days that end before
    they begin, and for none."""
    found = tuple(Closure(start, end or start) for start, end in zip(first, last, strict=True))
    if not found:
        raise CoachbookError("No day off is named.", "Write at least the first day.")
    for days in found:
        if days.last < days.first:
            raise CoachbookError("Days off end before they begin.", "Swap the two dates.")
    return found


def _names(book: Book, groups: Sequence[int]) -> tuple[str, ...]:
    if not groups:
        raise CoachbookError("No group is chosen.", "Tick at least one.")
    with book.reading() as tx:
        return tuple(group_numbered(tx, group).name for group in dict.fromkeys(groups))


def _changed(
    book: Book,
    syllabus: Syllabus,
    change: TermChange,
    groups: Sequence[str],
    today: date,
    seen: ChangedPlans | None,
) -> ChangedPlans:
    on, preview = change.on, seen is None
    first = min(today, on, *(days.first for days in change.days))
    match change.step:
        case TermStep.CANCEL:
            return replan_terms(
                book, syllabus, groups, first, today=today, cancel=(on,), preview=preview, seen=seen
            )
        case TermStep.DAYS_OFF:
            days = change.days
            return replan_terms(
                book, syllabus, groups, first, today=today, closures=days, preview=preview, seen=seen
            )
        case TermStep.REPLAN:
            return replan_terms(book, syllabus, groups, on, today=today, preview=preview, seen=seen)
        case TermStep.LOCK | TermStep.UNLOCK:
            locked = change.step is TermStep.LOCK
            return lock_session(book, syllabus, groups[0], on, locked=locked, preview=preview, seen=seen)
        case TermStep.PIN:
            unit = _only(change.units)
            return pin_unit(book, syllabus, groups[0], unit, on, today, preview=preview, seen=seen)
        case TermStep.UNPIN:
            unit = _only(change.units)
            return unpin_unit(book, syllabus, groups[0], unit, today, preview=preview, seen=seen)
    if on > today:
        raise CoachbookError("This evening is still to come.", "Cancel it, or pin another unit to it.")
    units = change.units
    if not units:
        raise CoachbookError("No unit is chosen.", "Tick what was not done.")
    return plan_again(book, syllabus, groups[0], units, on, max(on, today), preview=preview, seen=seen)


def _only(units: Sequence[str]) -> str:
    if not units:
        raise CoachbookError("No unit is chosen.", "Choose one.")
    return units[0]

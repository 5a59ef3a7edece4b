"""Taking an entry of the log back, and bringing it back: answers, attendance, play-outs, notes, plans.

An evening that was held stays as it was planned then: a plan that it followed can be taken back only when
what was logged of it since has been.
"""

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime

from coachbook.club.book import Book, Reading, Writing, rehearsing
from coachbook.club.taken_back import (
    EntryContents,
    bring_back,
    contents_of,
    days_logged_after,
    groups_taken_back,
    take_back,
)
from coachbook.club.terms import terms_of
from coachbook.errors import CoachbookError
from coachbook.model.facts import LogEntry
from coachbook.model.term_plan import Closure, Difference, PlanDifference, TermPlan
from coachbook.term.replan import differences, shape, taken_over

_ALWAYS = Closure(date.min, date.max)


@dataclass(frozen=True, slots=True)
class TakenBack:
    """An entry that was taken back or brought back: what it holds, and what changes in the plans of groups
    (each named)."""

    contents: EntryContents
    changes: tuple[tuple[str, PlanDifference], ...]

    @property
    def entry(self) -> LogEntry:
        return self.contents.entry

    @property
    def is_of_several(self) -> bool:
        """Whether more goes than one student's facts: then the coach is asked first."""
        return len(self.contents.students) > 1 or bool(self.contents.groups)


def what_undo_changes(book: Book, now: datetime, number: int | None) -> TakenBack:
    """The entry that `undo` would take back, and what would change; nothing does. Raises CoachbookError."""
    with rehearsing(book) as page:
        return _undone(page, number, now)


def undo(book: Book, now: datetime, number: int | None = None) -> TakenBack:
    """Take a log entry back, the last one if no number is given.

    `now` is aware. Raises CoachbookError if there is none, or if an evening that was held would change.
    """
    with book.writing() as page:
        return _undone(page, number, now)


def redo(book: Book, number: int | None = None) -> TakenBack:
    """Bring back an entry that was taken back, the last one if no number is given.

    Raises CoachbookError if there is none, or if an evening that was held would change.
    """
    with book.writing() as page:
        groups = groups_taken_back(page, number)
        before = _plans(page, groups)
        entry = bring_back(page, number)
        changes = _changes(page, before, entry.id)
        return TakenBack(contents_of(page, entry.id), changes)


def _undone(page: Writing, number: int | None, now: datetime) -> TakenBack:
    contents = contents_of(page, number)
    before = _plans(page, contents.groups)
    take_back(page, now, contents.entry.id)
    return TakenBack(contents, _changes(page, before, contents.entry.id))


def _plans(page: Reading, groups: Sequence[str]) -> dict[str, TermPlan | None]:
    """All evenings that each group has planned, as one plan."""
    return {group: taken_over([term.plan for term in terms_of(page, group)], _ALWAYS) for group in groups}


def _changes(
    page: Reading, before: Mapping[str, TermPlan | None], number: int
) -> tuple[tuple[str, PlanDifference], ...]:
    """What has changed in the plans since an entry was moved. Raises CoachbookError if an evening that was
    logged after it is not as it was."""
    changes = list[tuple[str, PlanDifference]]()
    after = _plans(page, tuple(before))
    for group, old in before.items():
        new = after[group]
        _check_held(days_logged_after(page, group, number), group, old, new)
        changes += [(group, each) for each in _differences(old, new)]
    return tuple(changes)


def _differences(old: TermPlan | None, new: TermPlan | None) -> tuple[PlanDifference, ...]:
    if old is not None and new is not None:
        return differences(old, new)
    gone = old is not None
    one = old if gone else new
    if one is None or not one.sessions:
        return ()
    what = Difference.NO_LONGER_PLANNED if gone else Difference.PLANNED_AGAIN
    return (PlanDifference(what, (one.sessions[0].on, one.sessions[-1].on)),)


def _check_held(held: Collection[date], group: str, old: TermPlan | None, new: TermPlan | None) -> None:
    now = {session.on: shape(session) for session in new.sessions} if new is not None else {}
    for session in old.sessions if old is not None else ():
        if session.on in held and now.get(session.on) != shape(session):
            raise CoachbookError(
                f"The evening of {group} on {session.on} was held as it is planned now.",
                "To change that plan, first take back what is logged of the evening.",
            )

"""Closing an evening: what is still to be logged, and what moves to the next one."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

from coachbook.club.book import Book, Reading
from coachbook.club.played import play_outs
from coachbook.club.prepared import prepared_for
from coachbook.club.results import attendance, wholly_logged_students
from coachbook.club.sheets import load_worksheet
from coachbook.club.students import list_groups, list_students
from coachbook.errors import CoachbookError
from coachbook.model.play_out_card import card_code
from coachbook.model.progress import ReviewAdvice
from coachbook.model.syllabus import Syllabus
from coachbook.model.term import SlotKind
from coachbook.workflows.evening import GivenSheet
from coachbook.workflows.groups import named_groups, planned_session, term_in_force
from coachbook.workflows.planning import titles_of
from coachbook.workflows.replanning import replan_terms
from coachbook.workflows.reviewing import who_needs_review
from coachbook.workflows.tonight import units_of


@dataclass(frozen=True, slots=True)
class ToClose:
    """What is still to be logged of a group's evening.

    `present` is None as long as attendance is not logged of everybody, and then sheets and cards are
    those of everybody. `units` are those that were planned, by code and title; `playable` the first card
    of each that has play-outs.
    """

    group: str
    on: date
    students: tuple[str, ...]
    present: frozenset[str] | None
    sheets: tuple[GivenSheet, ...]
    cards: tuple[tuple[str, str], ...]
    units: tuple[tuple[str, str], ...]
    playable: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class NextWeek:
    """What moves to the next evening (None if there is none): changes of the plan, who was absent and
    missed which units, whose sheets came back without answers, and who needs review then."""

    on: date | None
    changes: tuple[str, ...]
    absent: tuple[str, ...]
    missed: tuple[str, ...]
    open_sheets: tuple[tuple[str, str], ...]
    advice: tuple[ReviewAdvice, ...]


def groups_to_close(book: Book, on: date, groups: Sequence[str]) -> tuple[str, ...]:
    """Those of the groups (of all, if none is named) whose plan has this evening. Raises CoachbookError."""
    with book.reading() as page:
        chosen = named_groups(page, groups) if groups else list_groups(page)
        names = tuple(group.name for group in chosen if planned_session(page, group.name, on) is not None)
    if not names:
        raise CoachbookError(
            f"No evening is planned on {on}.",
            "Name its date (see 'coachbook term show'), or log with 'coachbook log' what happened.",
        )
    return names


def to_close(book: Book, syllabus: Syllabus, group: str, on: date) -> ToClose:
    """What is still to be logged of a group's evening. Raises CoachbookError."""
    titles = titles_of(syllabus)
    with book.reading() as page:
        session = planned_session(page, group, on)
        students = tuple(student.name for student in list_students(page, group))
        marks = attendance(page, on=on, group=group)
        is_logged = {mark.student for mark in marks} >= set(students)
        present = frozenset(mark.student for mark in marks if mark.present) if is_logged else None
        there = [name for name in students if present is None or name in present]
        units = units_of(session, *SlotKind) if session is not None else ()
        return ToClose(
            group,
            on,
            students,
            present,
            _sheets(page, group, on, there),
            _cards(page, group, on, there),
            tuple((code, titles.get(code, code)) for code in units),
            tuple(
                card_code(unit.code, 1) for unit in syllabus.units if unit.code in units and unit.play_outs
            ),
        )


def move_on(book: Book, syllabus: Syllabus, group: str, on: date, not_done: Sequence[str]) -> NextWeek:
    """Plan anew what was not done, from the next evening on, and tell what moves. Raises CoachbookError."""
    left = to_close(book, syllabus, group, on)
    titles = titles_of(syllabus)
    with book.reading() as page:
        plan = term_in_force(page, group)
        session = planned_session(page, group, on)
    ahead = [each.on for each in plan.sessions if each.on > on]
    changes: tuple[str, ...] = ()
    if not_done and ahead:
        (done,) = replan_terms(book, syllabus, [group], ahead[0], not_done=not_done)
        changes = done.changes
    elif not_done:
        lost = ", ".join(titles.get(code, code) for code in not_done)
        changes = (f"No evening is left in the plan for: {lost}.",)
    absent = () if left.present is None else tuple(n for n in left.students if n not in left.present)
    taught = units_of(session, SlotKind.NEW) if session is not None else ()
    return NextWeek(
        ahead[0] if ahead else None,
        changes,
        absent,
        tuple(titles.get(code, code) for code in taught if code not in not_done),
        tuple((names[0], sheet.code) for sheet, names in left.sheets),
        who_needs_review(book, syllabus, group, on, ahead[0]) if ahead else (),
    )


def _sheets(page: Reading, group: str, on: date, there: Sequence[str]) -> tuple[GivenSheet, ...]:
    """The sheets made ready for those who are there, of which not every item is logged."""
    kept = prepared_for(page, group, on)
    return tuple(
        (load_worksheet(page, kept[name].sheet), (name,))
        for name in there
        if name in kept and kept[name].sheet and name not in wholly_logged_students(page, kept[name].sheet)
    )


def _cards(page: Reading, group: str, on: date, there: Sequence[str]) -> tuple[tuple[str, str], ...]:
    """Students with the cards they were given and that are not logged on that evening."""
    kept = prepared_for(page, group, on)
    logged = {(each.student, each.card) for each in play_outs(page, group=group) if each.on == on}
    return tuple(
        (name, card)
        for name in there
        for card in (kept[name].cards if name in kept else ())
        if (name, card) not in logged
    )

"""Over two terms and two groups, whatever is planned, planned again, locked, pinned, corrected, logged late,
taken back and brought back: no held evening changes, no answer goes but by a named undo, what is shown before
a change is what happens, and taking everything back returns the book's facts."""

import re
import shutil
import sqlite3
import tempfile
from collections.abc import Callable
from contextlib import closing, suppress
from dataclasses import replace
from datetime import UTC, date, datetime, timedelta
from pathlib import Path

import pytest
from hypothesis import settings
from hypothesis import strategies as st
from hypothesis.stateful import RuleBasedStateMachine, invariant, precondition, rule

from coachbook.club.book import Book
from coachbook.club.log import last_entries
from coachbook.club.results import answers
from coachbook.club.sheets import save_worksheet
from coachbook.club.students import add_group, add_student
from coachbook.errors import CoachbookError
from coachbook.model.worksheet import Worksheet
from coachbook.term.replan import planned_units, shape
from coachbook.workflows.evening_log import (
    keep_answers,
    keep_attendance,
    mark_sheet,
    redo,
    undo,
    what_undo_changes,
)
from coachbook.workflows.members import days_held, planned_sessions
from coachbook.workflows.planning import ChangedPlans, TermWish, plan_terms, preview_terms
from coachbook.workflows.replanning import lock_session, pin_unit, replan_terms, unpin_unit
from coachbook.workflows.standings import load_syllabus
from tests.club.copies import empty_book
from tests.model.an_exercise import AN_EXERCISE

SYLLABUS = load_syllabus()
GROUPS = {"Foxes": ("Ana", "Bo"), "Owls": ("Cy",)}
STARTS = (date(2026, 9, 10), date(2027, 1, 14))
NOW = datetime(2027, 6, 1, 20, tzinfo=UTC)
UNITS = ("mate-in-one", "two-majors", "queen-box")

groups = st.sampled_from(["Foxes", "Owls"])
weeks = st.integers(0, 7)
starts = st.sampled_from(STARTS)
Shapes = dict[tuple[str, date], object]


class AYear(RuleBasedStateMachine):
    """Two groups, two terms; every rule is something that a coach does."""

    def __init__(self) -> None:
        super().__init__()
        self.folder = Path(tempfile.mkdtemp())
        self.book = _new_book(self.folder / "club.book")
        self.first = self.facts()
        self.held = self.held_evenings()
        self.answered: set[tuple[str, str, int]] = set()

    def teardown(self) -> None:
        try:
            self.take_everything_back_and_bring_it_back()
        finally:
            shutil.rmtree(self.folder)

    def take_everything_back_and_bring_it_back(self) -> None:
        last = self.facts()
        undone = []
        with self.book.reading() as page:
            entries = last_entries(page, 10_000)
        for entry in entries:
            assert undo(self.book, NOW, entry.id).entry == entry
            undone.append(entry.id)
        assert self.facts() == self.first
        for number in reversed(undone):
            redo(self.book, number)
        assert self.facts() == last

    @rule(start=starts, both=st.booleans(), group=groups, shift=st.integers(-1, 3), count=st.integers(3, 8))
    def plans_a_term(self, start: date, both: bool, group: str, shift: int, count: int) -> None:
        first = start + timedelta(weeks=shift)
        wish = TermWish(first, first + timedelta(weeks=count - 1), weekdays=(3,), minutes=60)
        names = ("Foxes", "Owls") if both else (group,)
        with suppress(CoachbookError):
            seen = preview_terms(self.book, SYLLABUS, names, wish, today=first)
            made = plan_terms(self.book, SYLLABUS, names, wish, today=first, seen=seen)
            assert made.terms == seen.terms

    @rule(start=starts, week=weeks, group=groups, cancel=st.booleans(), unit=st.sampled_from((None, *UNITS)))
    def plans_anew(self, start: date, week: int, group: str, cancel: bool, unit: str | None) -> None:
        first = start + timedelta(weeks=week)
        fallen = [first] if cancel else []
        again = [unit] if unit else []
        self._shown_first(
            lambda preview: replan_terms(
                self.book, SYLLABUS, (group,), first, cancel=fallen, not_done=again, preview=preview
            )
        )

    @rule(start=starts, week=weeks, group=groups, unit=st.sampled_from(UNITS))
    def pins(self, start: date, week: int, group: str, unit: str) -> None:
        on = start + timedelta(weeks=week)
        self._shown_first(
            lambda preview: pin_unit(self.book, SYLLABUS, group, unit, on, start, preview=preview)
        )

    @rule(group=groups, unit=st.sampled_from(UNITS))
    def unpins(self, group: str, unit: str) -> None:
        self._shown_first(
            lambda preview: unpin_unit(self.book, SYLLABUS, group, unit, STARTS[0], preview=preview)
        )

    @rule(start=starts, week=weeks, group=groups, locked=st.booleans())
    def locks(self, start: date, week: int, group: str, locked: bool) -> None:
        with suppress(CoachbookError):
            lock_session(self.book, SYLLABUS, group, start + timedelta(weeks=week), locked=locked)

    @rule(start=starts, week=weeks, group=groups, there=st.booleans())
    def logs_attendance(self, start: date, week: int, group: str, there: bool) -> None:
        on = start + timedelta(weeks=week)
        keep_attendance(self.book, dict.fromkeys(GROUPS[group], there), on, NOW)

    @rule(
        start=starts,
        week=weeks,
        student=st.sampled_from(["Ana", "Bo", "Cy"]),
        written=st.dictionaries(st.integers(1, 3), st.sampled_from(["Qg7#", "Qg6", "", "?"]), min_size=1),
    )
    def logs_or_corrects_answers(self, start: date, week: int, student: str, written: dict[int, str]) -> None:
        on = start + timedelta(weeks=week)
        results = mark_sheet(SHEET, student, written, on)
        before = self.standing_answers()
        keep_answers(self.book, results, NOW)
        after = self.standing_answers()
        told = {(student, SHEET.code, item) for item in written}
        assert {key: told for key, told in after.items() if key not in told} == {
            key: told for key, told in before.items() if key not in told
        } or all(after[key] == before[key] for key in before.keys() - told)
        assert told <= after.keys()
        self.answered |= told

    @precondition(lambda self: self.entries())
    @rule(pick=st.integers(0, 10_000))
    def takes_back(self, pick: int) -> None:
        number = self.entries()[pick % len(self.entries())]
        try:
            seen = what_undo_changes(self.book, NOW, number)
        except CoachbookError:
            return
        assert undo(self.book, NOW, number) == seen
        self.answered &= self.standing_answers().keys()
        self._check_what_was_logged_after(number)

    @rule()
    def brings_back(self) -> None:
        with suppress(CoachbookError):
            number = redo(self.book).entry.id
            self.answered |= self.standing_answers().keys()
            self._check_what_was_logged_after(number)

    @invariant()
    def no_held_evening_changes(self) -> None:
        now = self.held_evenings()
        for evening, shaped in self.held.items():
            if evening in now and shaped is not None:
                assert now[evening] == shaped, evening
        self.held = now

    @invariant()
    def no_answer_is_gone(self) -> None:
        assert self.answered == set(self.standing_answers())

    @invariant()
    def no_two_terms_have_an_evening_on_one_day(self) -> None:
        with self.book.reading() as page:
            for group in GROUPS:
                days = [session.on for session in planned_sessions(page, group)]
                assert len(days) == len(set(days))

    def _shown_first(self, change: Callable[[bool], ChangedPlans]) -> None:
        before = self.facts()
        try:
            seen = change(True)
        except CoachbookError:
            seen = None
        assert self.facts() == before
        try:
            made = change(False)
        except CoachbookError:
            assert seen is None
            return
        assert seen is not None
        assert made == replace(seen, entry=made.entry)

    def _check_what_was_logged_after(self, number: int) -> None:
        """A plan that was made after an evening was logged may go again, or come back; no other may."""
        now = self.held_evenings()
        with closing(sqlite3.connect(self.book.path)) as connection:
            found = [row for query in _LOGGED_AFTER for row in connection.execute(query, (number,))]
        days = {(group, date.fromisoformat(on)) for group, on in found}
        for evening in days & now.keys():
            assert self.held.get(evening) in (None, now[evening]), evening
        self.held = now

    def entries(self) -> list[int]:
        with self.book.reading() as page:
            return [entry.id for entry in last_entries(page, 10_000)]

    def held_evenings(self) -> Shapes:
        with self.book.reading() as page:
            found: Shapes = {}
            for group in GROUPS:
                sessions = {session.on: shape(session) for session in planned_sessions(page, group)}
                found |= {(group, on): sessions.get(on) for on in days_held(page, group)}
            return found

    def standing_answers(self) -> dict[tuple[str, str, int], tuple[str, date]]:
        with self.book.reading() as page:
            return {(each.student, each.sheet, each.item): (each.written, each.on) for each in answers(page)}

    def facts(self) -> list[str]:
        with closing(sqlite3.connect(self.book.path)) as connection:
            told = (_ORDER_OF_PLANS.sub("", line) for line in connection.iterdump())
            return sorted(line for line in told if not line.startswith(_NO_FACTS))


_NO_FACTS = ('INSERT INTO "taken_back"', 'INSERT INTO "sqlite_sequence"')
"""What counts for nothing, and which numbers were given."""

_ORDER_OF_PLANS = re.compile(r'(?<=^INSERT INTO "term_plan" VALUES\()[0-9]+')
"""The number of a plan's row, which tells nothing."""

_LOGGED_AFTER = tuple(
    "SELECT g.name, f.evening FROM teaching_group g JOIN membership m ON m.group_id = g.id"  # noqa: S608 - ours
    f" JOIN {table} f ON f.student_id = m.student_id WHERE f.entry_id > ? AND {what}"
    for table, what in (("attendance", "f.present"), ("answer", "true"))
)

SHEET = Worksheet(
    "QB-1", "", "queen-box", "", 1, "", date(2026, 9, 1), 1, (replace(AN_EXERCISE, unit="queen-box"),) * 3
)


def _new_book(path: Path) -> Book:
    book = empty_book(path, "Hill Street")
    with book.writing() as page:
        for group, names in GROUPS.items():
            add_group(page, group)
            for name in names:
                add_student(page, name, [group])
        save_worksheet(page, SHEET, ["Ana", "Bo", "Cy"])
    return book


TestAYear = AYear.TestCase
TestAYear.settings = settings(max_examples=4, stateful_step_count=25, deadline=None)


@pytest.mark.long
class TestManyYears(AYear.TestCase):  # type: ignore[misc, valid-type] # made by hypothesis
    settings = settings(max_examples=60, stateful_step_count=40, deadline=None)


def test_the_units_of_the_year_are_those_of_the_syllabus() -> None:
    assert planned_units(()) == set()
    assert all(SYLLABUS.unit(code) for code in UNITS)

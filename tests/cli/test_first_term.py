"""A first term of two groups, through the commands: somebody joins, somebody leaves, an evening is
cancelled, one is not finished, and a mark is put right a week later. What is asked of it:

- both groups reach the goal, and whoever joined has caught up;
- nothing is on a sheet that was not explained to this student by then;
- a sheet has what the minutes of its evening hold, give or take a third.
"""

import json
from dataclasses import dataclass, field
from datetime import date, timedelta
from pathlib import Path

import pytest
from pypdf import PdfReader

from coachbook.club.book import open_book
from coachbook.club.results import answers, attendance, evenings
from coachbook.club.sheets import Prepared, load_worksheet, prepared_for
from coachbook.club.students import list_students
from coachbook.exercises.minutes import minutes_for
from coachbook.model.term_plan import PlannedSession, SlotKind
from coachbook.workflows.members import planned_sessions
from coachbook.workflows.standings import load_syllabus
from tests.cli.conftest import Calendar
from tests.cli.drive import done

SYLLABUS = load_syllabus()
FIRST = date(2026, 9, 10)
EVENINGS = 14
CANCELLED, UNFINISHED = 3, 5
JOINS, LEAVES, CORRECTED = 3, 6, 1
GROUPS = {"Foxes": ("Ada", "Ben", "Cem", "Dora", "Emil"), "Owls": ("Fay", "Gus", "Hana", "Ivo")}
ON_PAPER = (SlotKind.REVIEW, SlotKind.PRACTICE, SlotKind.ASSESSMENT)
PAGES_OF_0_1_0 = 341
"""Of six evenings of such a club, to print and of keys."""


def week(number: int) -> date:
    return FIRST + timedelta(weeks=number)


@dataclass(slots=True)
class FirstTerm:
    """The club as it goes through its term, with what was on paper."""

    folder: Path
    calendar: type[Calendar]
    pages: list[int] = field(default_factory=list)
    untaught: list[str] = field(default_factory=list)
    off: list[str] = field(default_factory=list)
    caught_up: set[str] = field(default_factory=set)
    taught: dict[str, dict[str, date]] = field(default_factory=dict)

    @property
    def book(self) -> Path:
        return self.folder / "club.book"

    def begin(self) -> None:
        done("club", "new", "Mill Lane")
        for group, names in GROUPS.items():
            done("group", "add", group)
            for name in names:
                done("student", "add", name, "--group", group)
        days = ("--from", str(FIRST), "--until", str(week(EVENINGS - 1)), "--weekday", "thursday")
        told = done("term", "plan", "--all", *days, "--minutes", "60", "--goal", "2", "--at", "18:00")
        assert "lessons are for Foxes and Owls together" in told

    def live(self) -> None:
        for number in range(EVENINGS):
            self.calendar.now = week(number)
            if number == CANCELLED:
                done("term", "replan", "--all", "--from", str(week(number)), "--skip", str(week(number)))
                continue
            if number == JOINS + 1:
                done("student", "add", "Zoe", "--group", "Owls")
            if number == LEAVES:
                done("group", "take", "Foxes", "Emil")
            if number == CORRECTED + 1:
                self._correct(week(CORRECTED))
            self._evening(number, week(number))

    def _correct(self, on: date) -> None:
        """One mark of last week is put right: nothing else changes, and it belongs to last week."""
        name, papers = next(iter(self._papers("Foxes", on).items()))
        before = self._marks(name)
        told = done("log", "answers", papers.sheet, "--ticks", typed="2: 0\n\n")
        assert f"evening of {on}." in told
        after = self._marks(name)
        assert [key for key in after if before[key] != after[key]] == [(papers.sheet, 2, on)]

    def _marks(self, name: str) -> dict[tuple[str, int, date], bool]:
        with open_book(self.book).reading() as tx:
            return {(each.sheet, each.item, each.on): each.right for each in answers(tx, student=name)}

    def _evening(self, number: int, on: date) -> None:
        done("evening", "prepare", str(on), "--two-up", "--to", f"e{number}")
        self.pages += [len(PdfReader(f"e{number}/{name}.pdf").pages) for name in ("print", "coach")]
        for group in GROUPS:
            self._look_at_papers(group, on)
            self._close(group, number, on)

    def _close(self, group: str, number: int, on: date) -> None:
        """Everybody is there but one, and all is right; on one evening something is not finished."""
        papers, session = self._papers(group, on), self._session(group, on)
        names = list(papers)
        absent = names[number % len(names)] if number % 3 == 1 else ""
        sheets = [name for name in names if name != absent and papers[name].sheet]
        lines = [absent, "y", *("=" for _ in sheets), *(["y"] if sheets else [])]
        cards = [name for name in names if name != absent for _ in papers[name].cards]
        units = list(dict.fromkeys(slot.unit for slot in session.slots if slot.unit))
        if cards or any(SYLLABUS.unit(unit).play_outs for unit in units):
            lines += [*(f"{place} mated in 5" for place, _ in enumerate(cards, start=1)), ""]
        lines += ["", *(["1" if number == UNFINISHED else ""] if units else [])]
        typed = "".join(f"{line}\n" for line in lines)
        told = done("evening", "close", str(on), "--group", group, "--ticks", typed=typed)
        assert f"\n{group}: closed; " in told, told

    def _papers(self, group: str, on: date) -> dict[str, Prepared]:
        with open_book(self.book).reading() as tx:
            return prepared_for(tx, group, on)

    def _session(self, group: str, on: date) -> PlannedSession:
        with open_book(self.book).reading() as tx:
            return next(each for each in planned_sessions(tx, group) if each.on == on)

    def _look_at_papers(self, group: str, on: date) -> None:
        session = self._session(group, on)
        tonight = {slot.unit for slot in session.slots if slot.kind is SlotKind.NEW}
        minutes = sum(slot.minutes for slot in session.slots if slot.kind in ON_PAPER)
        pages = PdfReader(f"e{(on - FIRST).days // 7}/coach.pdf").pages[:2]
        cover = "".join(page.extract_text() for page in pages)
        for name, papers in self._papers(group, on).items():
            items = self._items(papers.sheet)
            explained = self._explained(group, name, on) | tonight
            new = {unit for unit, _, _ in items} - explained
            if new:
                assert "to catch up" in cover
                assert len(new) == 1, (on, name, new)
                self.caught_up |= {f"{name} {unit}" for unit in new}
            taken = sum(minutes_for(kind, difficulty) for _, kind, difficulty in items)
            if not minutes * 2 / 3 <= taken <= minutes * 4 / 3:
                self.off.append(f"{on} {name}: {taken} of {minutes} minutes, {papers.wanted}")

    def _items(self, sheet: str) -> list[tuple[str, str, int]]:
        if not sheet:
            return []
        with open_book(self.book).reading() as tx:
            found = load_worksheet(tx, sheet)
        return [(item.unit, item.kind, item.difficulty) for item in found.items]

    def _explained(self, group: str, name: str, before: date) -> set[str]:
        """The units that were new on an evening on which the student was there, or was worked on since."""
        with open_book(self.book).reading() as tx:
            there = {mark.on for mark in attendance(tx, group=group) if mark.student == name and mark.present}
            seen = evenings(tx, student=name, until=before - timedelta(days=1))[name]
            sessions = [each for each in planned_sessions(tx, group) if each.on < before]
        new = {
            slot.unit
            for session in sessions
            if session.on in there
            for slot in session.slots
            if slot.kind is SlotKind.NEW
        }
        return new | set(seen)


@pytest.fixture
def term(tmp_path: Path, monkeypatch: pytest.MonkeyPatch, calendar: type[Calendar]) -> FirstTerm:
    monkeypatch.setattr(calendar, "now", FIRST)
    monkeypatch.setenv("COACHBOOK_BOOK", str(tmp_path / "club.book"))
    monkeypatch.delenv("COACHBOOK_SYLLABUS", raising=False)
    monkeypatch.chdir(tmp_path)
    return FirstTerm(tmp_path, calendar)


@pytest.mark.full
def test_a_first_term_reaches_its_goal_and_nobody_is_left_behind(term: FirstTerm) -> None:
    term.begin()
    term.live()
    assert not term.off, "\n".join(term.off)
    level_2 = [unit.code for level in SYLLABUS.levels[:2] for unit in level.units]
    for group in GROUPS:
        with open_book(term.book).reading() as tx:
            taught = {slot.unit for each in planned_sessions(tx, group) for slot in each.slots}
            members = [student.name for student in list_students(tx, group)]
        assert taught.issuperset(level_2), done("term", "show", "--group", group, "--date", str(FIRST))
        seen = json.loads(done("group", "show", group, "--json"))
        assert seen["missed"] == []
        assert [name for name, _ in seen["rows"]] == members
    assert any(each.startswith("Zoe ") for each in term.caught_up)
    assert sum(term.pages[:12]) <= PAGES_OF_0_1_0 / 2

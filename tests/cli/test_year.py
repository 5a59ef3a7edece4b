"""A whole year of a club, through the commands alone, and nothing in the book is wrong at the end."""

import json
from collections import Counter
from collections.abc import Sequence
from datetime import date
from pathlib import Path

import chess
import pytest
from pypdf import PdfReader

from coachbook.club.results import answers, attendance, observations, play_outs
from coachbook.exercises.marking import mark_answer
from coachbook.exercises.verify import check_exercise
from coachbook.model.worksheet import Exercise
from coachbook.wording.exercises import accepted_words
from tests.cli.conftest import Calendar
from tests.cli.drive import done, everything_in
from tests.cli.year import Term, Year

SCHOOL_YEAR = (
    Term(date(2026, 9, 10), 14, goal=2, cancelled=date(2026, 10, 22), prepared=False),
    Term(date(2027, 1, 7), 14, goal=3, cancelled=date(2027, 2, 18), prepared=True),
    Term(date(2027, 4, 15), 14, goal=4, cancelled=date.max, prepared=False),
)
"""Forty evenings that take place, and two that do not."""
THIRTY = {
    group: tuple(f"{group[:-1]} {number:02}" for number in range(1, 11))
    for group in ("Herons", "Otters", "Swifts")
}
FOUR = {"Herons": ("Ana", "Bo"), "Otters": ("Łucja",), "Swifts": ("Dee",)}
MIRRORS = (chess.flip_horizontal, chess.flip_vertical)
THREE_EVENINGS = Term(date(2026, 9, 10), 4, goal=1, cancelled=date(2026, 9, 17), prepared=True)


@pytest.fixture
def folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch, calendar: type[Calendar]) -> Path:
    monkeypatch.setattr(calendar, "now", SCHOOL_YEAR[-1].last)
    monkeypatch.setenv("COACHBOOK_BOOK", str(tmp_path / "club.book"))
    monkeypatch.delenv("COACHBOOK_SYLLABUS", raising=False)
    monkeypatch.chdir(tmp_path)
    return tmp_path


@pytest.mark.full
def test_three_evenings_of_four_students_go_through_the_commands(folder: Path) -> None:
    year = Year(folder, FOUR, seed=3)
    year.found()
    year.plan(THREE_EVENINGS)
    year.live(THREE_EVENINGS)
    report(year, THREE_EVENINGS)
    check_everything(year, THREE_EVENINGS.last)
    check_printed_again(year, THREE_EVENINGS.held[-1:])


@pytest.mark.long
def test_forty_evenings_of_thirty_students_go_through_the_commands(folder: Path) -> None:
    assert sum(len(term.held) for term in SCHOOL_YEAR) == 40
    year = Year(folder, THIRTY, seed=1)
    year.found()
    year.plan(SCHOOL_YEAR[0])
    for term, following in zip(SCHOOL_YEAR, (*SCHOOL_YEAR[1:], None), strict=True):
        year.live(term, following)
        report(year, term)
    check_terms(year, SCHOOL_YEAR)
    check_everything(year, SCHOOL_YEAR[-1].last)
    check_printed_again(year, SCHOOL_YEAR[-1].held[-2:])


def report(year: Year, term: Term) -> None:
    """What a coach looks at when a term is over."""
    day = ("--date", str(term.last))
    done("report", "term", "--from", str(term.first), "--until", str(term.last), "--to", "term.pdf")
    for group, names in year.groups.items():
        assert group in done("group", "show", group, *day)
        done("review", "--group", group, *day)
        for name in names:
            assert name in done("student", "show", name, *day)
            done("report", "family", name, *day, "--to", f"family-{name}.pdf")
    assert done("backup", "--to", f"copy-{term.first}.book").startswith("Backed up and checked: ")


def check_terms(year: Year, terms: Sequence[Term]) -> None:
    """Every term is still there, with every evening that took place."""
    for group in year.groups:
        for term in terms:
            shown = json.loads(done("term", "show", "--group", group, "--date", str(term.first), "--json"))
            assert [date.fromisoformat(each["on"]) for each in shown["plan"]["sessions"]] == term.held


def check_everything(year: Year, last: date) -> None:
    """The check passes, the log is what was typed, and every sheet is right, fresh and printed."""
    told = done("check", "--date", str(last))
    students = sum(map(len, year.groups.values()))
    assert f"All is well: {students} students, " in told
    check_log(year)
    sheets = json.loads(done("sheet", "list", "--json"))
    assert sheets
    given: dict[str, list[tuple[str, ...]]] = {}
    for listed in sheets:
        items = year.sheet(listed["code"]).items
        for item in items:
            check_item(item)
        for name in listed["students"]:
            given.setdefault(name, []).extend(looks(item.position.fen) for item in items)
    assert len(given) == students
    for name, positions in given.items():
        assert Counter(positions).most_common(1)[0][1] == 1, name


def check_item(item: Exercise) -> None:
    """Its claims hold, and the answer on the key is marked right."""
    check_exercise(item)
    assert mark_answer(item, ", ".join(accepted_words(item.answer)) or "-").right, item


def check_log(year: Year) -> None:
    """Each fact once, as it was typed, and no other."""
    with year.book.reading() as page:
        kept = answers(page)
        assert {(each.student, each.sheet, each.item) for each in kept} == year.answers.keys()
        for each in kept:
            typed = year.answers[each.student, each.sheet, each.item]
            assert (each.written, each.right, each.on) == (typed.text, typed.right, typed.on), each
        assert {(mark.on, mark.student): mark.present for mark in attendance(page)} == year.there
        played = [(result.on, result.student, result.card) for result in play_outs(page)]
        assert sorted(played) == sorted(year.play_outs)
        seen = [(each.on, each.student, each.note) for each in observations(page)]
        assert sorted(seen) == sorted(year.notes)
    logged = json.loads(done("log", "list", "--last", "100000", "--json"))
    assert len([each for each in logged if "term" not in each["what"]]) == year.entries


def check_printed_again(year: Year, days: list[date]) -> None:
    """Made once more when it is over, an evening's papers are the same; each sheet is in both files."""
    for on in days:
        before = everything_in(year.folder / f"evening-{on}")
        assert done("evening", "prepare", str(on)).endswith(
            "Nothing has changed since these papers were made.\n"
        )
        assert everything_in(year.folder / f"evening-{on}") == before
        for name in ("print.pdf", "coach.pdf"):
            text = "\n".join(
                page.extract_text() for page in PdfReader(year.folder / f"evening-{on}" / name).pages
            )
            for group in year.groups:
                assert all(each.sheet in text for each in year.papers(group, on).values() if each.sheet)


def looks(fen: str) -> tuple[str, ...]:
    """The same for positions that differ only by turning or mirroring the board, or with pawns by mirroring
    it left to right, and by the colour that is to move. By the package `chess` alone."""
    board = chess.Board(fen)
    board = board if board.turn else board.mirror()
    flips = (chess.flip_horizontal,) if board.pawns else (*MIRRORS, chess.flip_diagonal)
    boards = [board]
    for flip in flips:
        boards += [each.transform(flip) for each in boards]
    return min(tuple(sorted(f"{man}{square}" for square, man in each.piece_map().items())) for each in boards)

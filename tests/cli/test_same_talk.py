"""The same lines give the same words and the same book, at the terminal or through another front end."""

import shutil
from datetime import UTC, date, datetime

import pytest

from coachbook.cli.talking import doing, words
from coachbook.club.book import open_book
from coachbook.club.log import last_entries
from coachbook.club.results import answers, attendance
from coachbook.model.conversation import Told
from coachbook.model.syllabus import Syllabus
from coachbook.wording.conversations import in_words
from coachbook.workflows.answers_conversation import Answers
from coachbook.workflows.attendance_conversation import Absences
from coachbook.workflows.care import before_typing
from coachbook.workflows.closing_conversation import Closing
from coachbook.workflows.effects import Talk, drive
from coachbook.workflows.evening_to_log import sheets_to_log
from coachbook.workflows.standings import load_syllabus
from coachbook.workflows.typed_answers import sheets_to_type
from tests.cli.conftest import SYLLABUS, Club
from tests.cli.drive import done

ON = date(2026, 9, 10)


def said(club: Club, state: Talk, lines: list[str], syllabus: Syllabus | None = None) -> str:
    """What another front end shows of a conversation: the questions without what is typed."""
    shown: list[str] = []

    def show(told: Told) -> None:
        shown.append(f"{words(told)}\n")

    book = open_book(club.book)
    do = doing(book, syllabus)
    before_typing(book, datetime.now(UTC))
    state = drive(state.begun(), do, show)
    for line in lines:
        assert state.question is not None
        shown.append(in_words(state.question))
        state = drive(state.said(line), do, show)
    assert state.is_over
    return "".join(shown)


@pytest.mark.parametrize(
    "lines",
    [
        ["1: -", "", "skip", "y"],
        ["1: -; 2: -", "<", "2: Kb3", "", "", "1: nonsense", "<", "", "n", "1", "3: -", "y"],
        ["", "", "1: -", "n", "drop"],
    ],
)
def test_answers_are_the_same_through_both(club: Club, lines: list[str]) -> None:
    before = shutil.copy2(club.book, club.folder / "before.book")
    typed = done("log", "answers", club.sheet, "--date", str(ON), typed="\n".join([*lines, ""]))
    with open_book(club.book).reading() as page:
        kept = answers(page)
    shutil.copy2(before, club.book)
    book = open_book(club.book)
    steps = sheets_to_type(book, sheets_to_log(book, club.sheet, ON), ON, ON)
    assert said(club, Answers(steps=steps), lines) == typed
    with open_book(club.book).reading() as page:
        assert answers(page) == kept


def test_attendance_is_the_same_through_both(club: Club) -> None:
    lines = ["nobody else", "2", "n", "bo, 3", ""]
    before = shutil.copy2(club.book, club.folder / "before.book")
    typed = done("log", "attendance", "--group", "Owls", "--date", str(ON), typed="\n".join([*lines, ""]))
    with open_book(club.book).reading() as page:
        kept = attendance(page)
    shutil.copy2(before, club.book)
    students = ("Ana", "Bo", "Łucja")
    assert said(club, Absences(group="Owls", on=ON, students=students, answered={}), lines) == typed
    with open_book(club.book).reading() as page:
        assert attendance(page) == kept


def test_an_evening_is_closed_the_same_through_both(club: Club) -> None:
    lines = ["2", "", "Ana: helps others", "nonsense", "", "1"]
    term = ("--from", str(ON), "--until", "2026-12-10", "--weekday", "thursday", "--minutes", "60")
    done("term", "plan", "--group", "Owls", *term)
    before = shutil.copy2(club.book, club.folder / "before.book")
    typed = done("evening", "close", str(ON), "--group", "Owls", typed="\n".join([*lines, ""]))
    with open_book(club.book).reading() as page:
        kept = [entry.what for entry in last_entries(page, 9)]
    shutil.copy2(before, club.book)
    read = load_syllabus(SYLLABUS)
    told = said(club, Closing(group="Owls", on=ON, syllabus=read), lines, read)
    *same, following = typed.splitlines(keepends=True)
    assert told == "".join(same)
    assert following == "Next: coachbook evening prepare 2026-09-17\n"
    with open_book(club.book).reading() as page:
        assert [entry.what for entry in last_entries(page, 9)] == kept

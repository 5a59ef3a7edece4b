"""After a change coachbook says what mostly comes next, as it can be typed; and a student who leaves can come
back."""

import re
import shlex
from collections.abc import Callable
from datetime import date
from pathlib import Path

import pytest

from tests.cli.conftest import Calendar, Club
from tests.cli.drive import done, run

SUNDAY, EVENING = date(2027, 1, 10), date(2027, 1, 12)


def next_of(told: str) -> str:
    """The command that comes next: the last line, and the only one of its sort."""
    assert told.count("Next: ") == 1, told
    found = re.fullmatch(r"Next: coachbook (.+)", told.splitlines()[-1])
    assert found, told
    return found[1]


@pytest.fixture
def sunday(tmp_path: Path, monkeypatch: pytest.MonkeyPatch, at_a_terminal: Callable[[], None]) -> Path:
    """A coach at home in an empty folder."""
    monkeypatch.setattr(Calendar, "now", SUNDAY)
    monkeypatch.setenv("COACHBOOK_BOOK", str(tmp_path / "club.book"))
    monkeypatch.delenv("COACHBOOK_SYLLABUS", raising=False)
    monkeypatch.chdir(tmp_path)
    at_a_terminal()
    return tmp_path


def test_each_line_leads_to_the_next_from_a_new_club_to_the_second_evening(
    sunday: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    line = next_of(done("club", "new", "Riverside"))
    assert line == "group add GROUP"
    line = next_of(done(*shlex.split(line.replace("GROUP", "Tuesday"))))
    assert line == "student add NAME --group Tuesday"
    line = next_of(done(*shlex.split(line)))
    assert line == (
        "term plan --group Tuesday --from 2027-01-12 --until 2027-04-06 --weekday tuesday --minutes 60"
    )
    line = next_of(done(*shlex.split(line)))
    assert line == "evening prepare 2027-01-12"
    assert next_of(done("student", "add", "Tom", "--group", "Tuesday")) == line
    line = next_of(done(*shlex.split(line)))
    assert line == "evening close 2027-01-12"
    monkeypatch.setattr(Calendar, "now", EVENING)
    line = next_of(done(*shlex.split(line), typed="\n" * 60))
    assert line == "evening prepare 2027-01-19"
    assert next_of(done(*shlex.split(line))) == "evening close 2027-01-19"
    assert (sunday / "club.book").exists()


@pytest.mark.usefixtures("sunday")
def test_the_lines_can_be_typed_as_they_stand() -> None:
    line = next_of(done("club", "new", "Riverside"))
    for _ in range(2):
        line = next_of(done(*shlex.split(line)))
    assert next_of(done(*shlex.split(line))) == "evening prepare 2027-01-10"


def test_after_a_sheet_its_answers_are_typed(club: Club) -> None:
    told = done("sheet", "make", "queen-box", "--group", "Owls", "--items", "1", "--date", "2026-12-10")
    line = next_of(told)
    assert line.startswith("log answers QB-")
    assert line.split()[-1] in told.splitlines()[1]
    assert "Kept: 3 answers" in done(*shlex.split(line), "--yes", typed="1\n1\n1\n\n")
    assert club.book.exists()


def test_sheets_for_each_are_typed_together(club: Club) -> None:
    made = ("sheet", "make", "queen-box", "--group", "Owls", "--each", "--items", "1", "--date", "2026-12-10")
    line = next_of(done(*made))
    assert line == "log answers --group Owls"
    assert done(*shlex.split(line), "--yes", typed="1\n1\n1\n\n").count("Sheet QB-") == 3
    assert club.book.exists()


@pytest.mark.usefixtures("sunday")
def test_the_line_is_for_the_same_book() -> None:
    line = next_of(done("club", "new", "Riverside", "--book", "my club.book"))
    assert line == "group add GROUP --book 'my club.book'"
    assert next_of(done(*shlex.split(line))) == "student add NAME --group GROUP --book 'my club.book'"


@pytest.mark.usefixtures("club")
def test_a_table_of_students_leads_to_a_term() -> None:
    Path("new.csv").write_text("name,group\nEve,Bears\n", encoding="utf-8")
    assert next_of(done("student", "import", "new.csv")).startswith("term plan --all --from 2026-12-10 ")


@pytest.mark.usefixtures("club")
def test_a_student_who_is_removed_leaves_all_groups_and_all_that_was_done_stays() -> None:
    day = ("--date", "2026-09-10", "--yes")
    done("group", "put", "Foxes", "Ana")
    done("log", "note", "Ana", "queen-box", "helps", *day)
    told = done("student", "remove", "ana", "--yes").splitlines()
    assert told == [
        "Removed: Ana, from Foxes and Owls. All the work stays in the book.",
        "To take it back: coachbook group put Foxes Ana",
        "To take it back: coachbook group put Owls Ana",
        "To erase the student from the book, too: coachbook student erase Ana",
    ]
    assert "seen: helps" in done("student", "show", "Ana")
    assert "Ana" not in done("student", "list", "--group", "Owls")
    assert run("student", "remove", "Ana").problems == [
        "coachbook: Ana is in no group. To erase the student from the book: coachbook student erase Ana"
    ]
    for line in told[1:3]:
        done(*shlex.split(line.removeprefix("To take it back: coachbook ")))
    assert "Ana      Foxes, Owls" in done("student", "list")


@pytest.mark.usefixtures("club")
def test_removing_a_student_asks(at_a_terminal: Callable[[], None]) -> None:
    assert "Removing needs a yes" in run("student", "remove", "Ana").err
    at_a_terminal()
    assert done("student", "remove", "Ana", typed="n\n").endswith("Nothing was removed.\n")
    assert "Ana" in done("student", "list", "--group", "Owls")
    assert "Removed: Ana, from Owls." in done("student", "remove", "Ana", typed="y\n")
    assert "There is no student 'Anna'" in run("student", "remove", "Anna").err

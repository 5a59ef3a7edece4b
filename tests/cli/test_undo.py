"""Taking back many answers at once is asked about; one student's goes at once."""

import json
from collections.abc import Callable

import pytest

from tests.cli.conftest import Club
from tests.cli.drive import done, everything_in, run

DAY = ("--date", "2026-09-10")
TWO = "1 2 Qa1 Qb2 Qc3 Qd4\n3: Qe5\n\n\n"


def entries() -> list[int]:
    return [each["id"] for each in json.loads(done("log", "list", "--json"))]


def test_answers_of_several_students_are_shown_before_they_go(
    club: Club, at_a_terminal: Callable[[], None]
) -> None:
    done("log", "answers", club.sheet, *DAY, typed=TWO)
    at_a_terminal()
    told = done("log", "undo", typed="what?\nYES\n").splitlines()
    assert told[0].startswith("This takes back entry 1, logged on 20")
    assert told[1:3] == [
        f"  7 answers of 2 students on sheet {club.sheet}, evening of 2026-09-10",
        "  Ana, Bo",
    ]
    asked = "Take it back? [y/N] "
    assert told[3].startswith(f"{asked}{asked}Taken back: 7 answers of 2 students on sheet {club.sheet} (")
    assert entries() == []


def test_several_evenings_are_all_named(club: Club, at_a_terminal: Callable[[], None]) -> None:
    (club.folder / "late.csv").write_text(
        f"student,item,answer,sheet,date\nBo,1,9,{club.sheet},2026-09-17\nAna,1,9,{club.sheet},2026-09-10\n",
        encoding="utf-8",
    )
    done("log", "answers", "--table", "late.csv")
    at_a_terminal()
    assert "evening of 2026-09-10 and 2026-09-17\n  Ana, Bo\n" in done("log", "undo", typed="n\n")


@pytest.mark.parametrize("typed", ["\n", "n\n", "no\n", "", "perhaps\n", b"\xff\n"])
def test_whoever_does_not_say_yes_takes_nothing_back(
    club: Club, at_a_terminal: Callable[[], None], typed: str | bytes
) -> None:
    done("log", "answers", club.sheet, *DAY, typed=TWO)
    before = everything_in(club.folder)
    at_a_terminal()
    ran = run("log", "undo", typed=typed)
    assert "Nothing was taken back." in ran.out + ran.err
    assert len(ran.problems) == (1 if ran.code else 0)
    assert everything_in(club.folder) == before


@pytest.mark.parametrize("is_terminal", [True, False])
def test_who_is_sure_is_not_asked(club: Club, at_a_terminal: Callable[[], None], is_terminal: bool) -> None:
    done("log", "answers", club.sheet, *DAY, typed=TWO)
    if is_terminal:
        at_a_terminal()
    assert done("log", "undo", "--yes").startswith("Taken back: 7 answers of 2 students")


def test_a_script_is_not_asked(club: Club) -> None:
    done("log", "answers", club.sheet, *DAY, typed=TWO)
    assert done("log", "undo").startswith("Taken back: 7 answers of 2 students")


def test_what_is_of_one_student_goes_at_once(club: Club, at_a_terminal: Callable[[], None]) -> None:
    done("log", "answers", club.sheet, *DAY, typed="1 2 Qa1 Qb2 Qc3 Qd4\n\n\n\n")
    at_a_terminal()
    assert done("log", "undo").startswith("Taken back: 6 answers of Ana")
    assert run("log", "undo").err == "coachbook: There is nothing to take back. The log is empty.\n"


@pytest.mark.usefixtures("club")
def test_attendance_of_several_students_is_shown_before_it_goes(at_a_terminal: Callable[[], None]) -> None:
    done("log", "attendance", "--group", "Owls", "Ana", *DAY)
    at_a_terminal()
    told = done("log", "undo", typed="n\n").splitlines()
    assert told[1:3] == [
        "  attendance on 2026-09-10: 1 of 3 there, evening of 2026-09-10",
        "  Ana, Bo, Łucja",
    ]
    assert entries() == [1]
    assert "Taken back: attendance on 2026-09-10: 1 of 3 there" in done("log", "undo", typed="y\n")


def test_what_was_taken_back_is_brought_back_by_its_number(club: Club) -> None:
    done("log", "answers", club.sheet, *DAY, typed=TWO)
    done("log", "attendance", "--group", "Owls", "Ana", *DAY)
    before = done("log", "list", "--json")
    told = done("log", "undo", "1").splitlines()
    assert told[-1] == "To bring it back: coachbook log redo 1"
    assert entries() == [2]
    assert done("log", "redo", "1").startswith(f"Brought back: 7 answers of 2 students on sheet {club.sheet}")
    assert done("log", "list", "--json") == before
    ran = run("log", "redo")
    assert (ran.code, ran.err) == (
        2,
        "coachbook: There is nothing to bring back."
        " What is taken back is kept for 30 days, or until a student is erased.\n",
    )


def test_an_entry_that_was_taken_back_does_not_lose_its_number_to_another(club: Club) -> None:
    done("log", "answers", club.sheet, *DAY, typed=TWO)
    done("log", "undo", "--yes")
    done("log", "attendance", "--group", "Owls", "Ana", *DAY)
    assert entries() == [2]
    done("log", "redo")
    assert entries() == [2, 1]


def test_the_entry_that_was_shown_goes_though_another_came_meanwhile(
    club: Club, at_a_terminal: Callable[[], None], monkeypatch: pytest.MonkeyPatch
) -> None:
    done("log", "answers", club.sheet, *DAY, typed=TWO)
    at_a_terminal()

    def typed_late(_question: str) -> str:
        done("log", "attendance", "--group", "Owls", "Ana", "Bo", "Łucja", *DAY)
        return "y"

    monkeypatch.setattr("builtins.input", typed_late)
    assert "Taken back: 7 answers" in done("log", "undo")
    assert entries() == [2]

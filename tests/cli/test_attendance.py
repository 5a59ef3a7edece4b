"""Attendance that is put right afterwards: one student alone, and what a second list changes."""

import json
from collections.abc import Callable

import pytest

from coachbook.club.book import open_book
from coachbook.club.results import attendance
from tests.cli.conftest import Club
from tests.cli.drive import done, everything_in, run

DAY = ("--date", "2026-09-10")
LOG = ("log", "attendance", *DAY)


def there(club: Club) -> dict[str, bool]:
    with open_book(club.book).reading() as page:
        return {mark.student: mark.present for mark in attendance(page)}


def test_who_came_late_is_put_right_alone(club: Club) -> None:
    done(*LOG, "--group", "Owls", "Ana")
    told = done(*LOG, "--group", "Owls", "--present", "bo")
    assert told == (
        "Kept: attendance of Bo on 2026-09-10: there.\n"
        "There on 2026-09-10: Ana, Bo. Absent: Łucja.\n"
        "All others are as they were. To take it back: coachbook log undo\n"
    )
    assert there(club) == {"Ana": True, "Bo": True, "Łucja": False}


def test_who_had_left_is_put_right_alone_and_the_undo_brings_the_first_list_back(club: Club) -> None:
    done(*LOG, "--group", "Owls", "Ana", "Bo")
    assert "There on 2026-09-10: Bo. Absent: Ana, Łucja.\n" in done(*LOG, "--absent", "Ana")
    undone = done("log", "undo")
    assert undone.startswith("Taken back: attendance of Ana on 2026-09-10: absent (logged on ")
    assert there(club) == {"Ana": True, "Bo": True, "Łucja": False}


def test_several_are_put_right_as_one_entry(club: Club) -> None:
    done(*LOG, "--group", "Owls", "Ana")
    told = done(*LOG, "--present", "Bo", "--present", "Łucja", "--absent", "Ana")
    assert told.startswith("Kept: attendance on 2026-09-10: 2 of 3 there.\n")
    assert there(club) == {"Ana": False, "Bo": True, "Łucja": True}
    assert len(json.loads(done("log", "list", "--json"))) == 2


def test_a_guest_who_came_late_is_put_right_too(club: Club) -> None:
    done(*LOG, "--group", "Owls", "Ana")
    assert "There on 2026-09-10: Ana, Dee." in done(*LOG, "--group", "Owls", "--present", "Dee")
    assert there(club)["Dee"]


def test_what_is_logged_so_already_makes_no_entry(club: Club) -> None:
    done(*LOG, "--group", "Owls", "Ana")
    before = everything_in(club.folder)
    told = done(*LOG, "--present", "Ana")
    assert told == "Nothing was kept.\nThere on 2026-09-10: Ana. Absent: Bo, Łucja.\n"
    assert everything_in(club.folder) == before


@pytest.mark.parametrize(
    ("arguments", "told"),
    [
        (("--present", "Anna"), "There is no student 'Anna'. Did you mean 'Ana'?"),
        (("--present", "Ana", "--absent", "ana"), "Ana cannot be both present and absent."),
        (("--present", "Ana", "--group", "Owl"), "There is no group 'Owl'. Did you mean 'Owls'?"),
        (("Bo", "--present", "Ana"), "Log a whole evening or correct some students, not both."),
        (
            ("--table", "x.csv", "--absent", "Ana"),
            "Log a whole evening or correct some students, not both.",
        ),
        (
            ("--present", "Ana", "--date", "2026-09-11"),
            "No attendance is logged on 2026-09-11, so there is nothing to put right."
            " Give --date 2026-09-10: that is the last evening that is logged.",
        ),
        (
            ("--present", "Ana", "--date", "2026-09-09"),
            "No attendance is logged on 2026-09-09, so there is nothing to put right."
            " Name all who were there: coachbook log attendance NAME...",
        ),
    ],
)
def test_what_cannot_be_put_right_is_told_in_a_line(
    club: Club, arguments: tuple[str, ...], told: str
) -> None:
    done(*LOG, "--group", "Owls", "Ana")
    before = everything_in(club.folder)
    ran = run(*LOG, *arguments)
    assert (ran.code, len(ran.problems)) == (2, 1)
    assert told in ran.err
    assert everything_in(club.folder) == before


def test_a_second_list_says_whom_it_changes(club: Club) -> None:
    done(*LOG, "--group", "Owls", "Ana", "Bo")
    assert done(*LOG, "--group", "Owls", "Łucja") == (
        "Kept: attendance on 2026-09-10: 1 of 3 there.\n"
        "Changed by this list: Ana (absent), Bo (absent), Łucja (there)."
        " To take it back: coachbook log undo\n"
    )
    typed = done(*LOG, "--group", "Owls", typed="\n\n")
    assert "Changed by this list: Ana (there), Bo (there)." in typed
    assert there(club) == dict.fromkeys(("Ana", "Bo", "Łucja"), True)
    assert "Changed" not in done(*LOG, "--group", "Owls", typed="\n\n")


ASKED = "Ana has 6 answers from this evening. Still mark as absent? [y/N] "


@pytest.fixture
def answered(club: Club) -> Club:
    """Ana's sheet of the evening is logged."""
    done("log", "answers", *DAY, typed="1 2 Qa1 Qb2 Qc3 Qd4\n\n\n\n")
    return club


@pytest.mark.parametrize(("said", "here"), [("", True), ("perhaps\nn", True), ("y", False)])
def test_who_has_answers_of_the_evening_is_absent_only_by_a_second_word(
    answered: Club, said: str, here: bool
) -> None:
    told = done(*LOG, "--group", "Owls", typed=f"ana, bo\n{said}\n\n")
    assert ASKED in told
    assert "Bo has" not in told
    assert there(answered) == {"Ana": here, "Bo": False, "Łucja": True}


@pytest.mark.parametrize(("said", "here"), [("", True), ("yes", False)])
def test_at_a_terminal_a_list_or_one_name_is_asked_about_too(
    answered: Club, at_a_terminal: Callable[[], None], said: str, here: bool
) -> None:
    at_a_terminal()
    assert ASKED in done(*LOG, "--group", "Owls", "Bo", typed=f"{said}\n")
    assert there(answered)["Ana"] is here
    done(*LOG, "--present", "Ana")
    assert ASKED in done(*LOG, "--absent", "ana", typed=f"{said}\n")
    assert there(answered)["Ana"] is here


def test_a_command_in_a_script_is_taken_at_its_word(answered: Club) -> None:
    assert "Absent all" not in done(*LOG, "--group", "Owls", "Bo")
    assert not there(answered)["Ana"]

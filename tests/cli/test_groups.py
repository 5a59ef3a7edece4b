"""Groups are renamed and removed, and an import says which groups it makes."""

import json
import shlex
import sqlite3
from collections.abc import Callable
from contextlib import closing
from pathlib import Path

import pytest

from tests.cli.conftest import Club
from tests.cli.drive import done, everything_in, run

TERM = ("--from", "2026-09-10", "--until", "2026-12-10", "--weekday", "thu", "--minutes", "60")
DAY = ("--date", "2026-09-10")


def everything_but_backups(folder: Path) -> dict[str, bytes | None]:
    return {name: held for name, held in everything_in(folder).items() if ".backups" not in name}


def words_in(book: Path) -> str:
    with closing(sqlite3.connect(book)) as opened:
        return "\n".join(opened.iterdump())


@pytest.fixture
def room(club: Club) -> Club:
    """The Foxes, who missed an evening, wait for the coach who is with the Owls, and papers of the Owls are
    made ready."""
    done("term", "plan", "--group", "Owls", "--group", "Foxes", *TERM)
    done("term", "replan", "--group", "Foxes", "--from", "2026-09-17", "--skip", "2026-09-17")
    done("evening", "prepare", "2026-10-01", "--group", "Owls", "--to", "tonight")
    return club


def names_in(group: str) -> str:
    """A reason that names the group which the coach is with, as a plan holds it."""
    return f'"why":"quiet sheet","number":0,"names":["{group}"]'


def test_a_new_name_stands_wherever_the_old_one_stood(room: Club) -> None:
    assert names_in("Owls") in words_in(room.book)
    assert done("group", "rename", "owls", "Barn  Owls") == (
        "Renamed: Owls is Barn Owls.\n"
        "To take it back: coachbook group rename 'Barn Owls' Owls\n"
        "Are its evenings in your calendar already? Delete them there, then export the term again"
        " with 'coachbook term export'. Otherwise each evening is there twice.\n"
    )
    told = words_in(room.book)
    assert names_in("Barn Owls") in told
    assert "Owls" not in told.replace("Barn Owls", "")


@pytest.mark.usefixtures("room")
def test_a_renamed_group_goes_on_as_before() -> None:
    shown = done("term", "show", "--group", "Owls", *DAY)
    students = done("student", "list", "--group", "Owls")
    done("group", "rename", "Owls", "Hawk")
    assert done("term", "show", "--group", "Hawk", *DAY) == shown.replace("Owls", "Hawk")
    assert done("student", "list", "--group", "hawk") == students.replace("Owls", "Hawk")
    again = done("evening", "prepare", "2026-10-01", "--group", "Hawk", "--to", "tonight")
    assert "Changed since" not in again
    for group in ("Hawk", "Foxes"):
        done("term", "replan", "--group", group, "--from", "2026-10-08")


@pytest.mark.usefixtures("club")
def test_a_group_without_a_plan_is_in_no_calendar() -> None:
    told = done("group", "rename", "Foxes", "Red Foxes").splitlines()
    assert told == [
        "Renamed: Foxes is Red Foxes.",
        "To take it back: coachbook group rename 'Red Foxes' Foxes",
    ]
    assert "already a group 'Owls'" in run("group", "rename", "Red Foxes", "OWLS").err
    assert "no group 'Foxs'" in run("group", "rename", "Foxs", "Bears").err


@pytest.mark.usefixtures("club")
def test_an_empty_group_goes_at_once() -> None:
    done("group", "add", "Bears")
    assert done("group", "remove", "bears") == "Removed: Bears.\n"
    assert "Bears" not in done("group", "list")


def test_nobody_can_be_asked_without_a_terminal(club: Club) -> None:
    before = everything_in(club.folder)
    ran = run("group", "remove", "Owls", typed="y\n")
    assert (ran.code, ran.err) == (
        2,
        "coachbook: Removing needs a yes, and there is no terminal to ask at. Give --yes, if you are sure.\n",
    )
    assert everything_in(club.folder) == before


@pytest.mark.usefixtures("room")
def test_what_goes_with_a_group_and_what_stays_is_told_before(at_a_terminal: Callable[[], None]) -> None:
    done("group", "put", "Foxes", "Ana")
    at_a_terminal()
    told = done("group", "remove", "Owls", typed="perhaps\ny\n")
    assert told.startswith(
        "This removes the group Owls; a backup of the book is made first.\n"
        "  Its students stay in the book, with all their work: Ana, Bo, Łucja."
        " Then in no group: Bo, Łucja.\n"
        "  The term plan from 2026-09-10 to 2026-12-10 goes, too.\n"
        "  The list of papers prepared for 1 evening goes, too; the sheets stay, under their codes.\n"
        "Remove it? [y/N] Remove it? [y/N] Removed: Owls. Still in the book: its 3 students.\n"
        "Foxes shared the coach with it: see 'coachbook term replan'.\n"
    )
    assert [each["name"] for each in json.loads(done("student", "list", "--json"))] == [
        *("Ana", "Bo", "Dee", "Łucja"),
    ]
    done("term", "replan", "--from", "2026-10-08")


@pytest.mark.parametrize("typed", ["\n", "n\n", "No\n", "", "perhaps\n", b"\xff\n"])
def test_whoever_does_not_say_yes_removes_nothing(
    club: Club, at_a_terminal: Callable[[], None], typed: str | bytes
) -> None:
    before = everything_in(club.folder)
    at_a_terminal()
    ran = run("group", "remove", "Owls", typed=typed)
    assert "Nothing was removed." in ran.out + ran.err
    assert len(ran.problems) == (1 if ran.code else 0)
    assert everything_in(club.folder) == before


def test_a_script_is_sure(club: Club) -> None:
    sheets = done("sheet", "list")
    before = done("student", "list"), done("group", "list")
    told = done("group", "remove", "Owls", "--yes").splitlines()
    assert told[0].startswith("Removed: Owls.")
    assert done("sheet", "list") == sheets
    done(*way_back(told))
    assert (done("student", "list"), done("group", "list")) == before
    log = ("log", "answers", club.sheet, *DAY)
    assert "Kept: 6 answers of Ana" in done(*log, typed="1 2 Qa1 Qb2 Qc3 Qd4\n\n\n\n")


def way_back(told: list[str]) -> list[str]:
    """The command that brings the book back as it was before the one that told this."""
    (command,) = (line for line in told if line.startswith("To bring it back: coachbook "))
    return shlex.split(command)[5:]


def table_of(club: Club, *rows: str) -> str:
    (club.folder / "new.csv").write_text("name,group\n" + "\n".join(rows) + "\n", encoding="utf-8")
    return "new.csv"


def test_an_import_says_which_groups_it_makes(club: Club) -> None:
    file = table_of(club, "Eve,Owls", "Fay,Bears", "Gus,Owlz", "Hal,bears", "Ida,")
    listed = (
        "New group: Bears (2 students)\n"
        "New group: Owlz (1 student)\n"
        "  There is already a group Owls. If you mean that one: coachbook group put Owls NAME...,"
        " then coachbook group remove Owlz\n"
    )
    before = everything_in(club.folder)
    assert done("student", "import", file, "--preview") == (
        f"To be added: 5 students\n{listed}Nothing was kept.\n"
    )
    assert everything_in(club.folder) == before
    listing = done("student", "list"), done("group", "list")
    told = done("student", "import", file)
    assert told.startswith(f"Added: 5 students\n{listed}The book as it was: ")
    again = done(*way_back(told.splitlines()))
    assert (done("student", "list"), done("group", "list")) == listing
    done(*way_back(again.splitlines()))
    done("group", "put", "Owls", "Gus")
    done("group", "remove", "Owlz", "--yes")
    assert "Gus" in done("student", "list", "--group", "Owls")


def test_an_import_into_groups_that_are_there_makes_none(club: Club) -> None:
    assert "New group" not in done("student", "import", table_of(club, "Eve,owls"))


def test_mistakes_in_a_table_come_in_the_order_of_its_lines(club: Club) -> None:
    file = table_of(club, "Ana,Owls", "Eve,Owls,9", "?,Owls", "Fay", "Bo,Owls")
    ran = run("student", "import", file)
    assert [line.split(": ")[2] for line in ran.problems] == [f"line {number}" for number in range(2, 7)]
    (club.folder / "answers.csv").write_text(
        "student,item,answer\nAnna,1,9\nAna,1\nBo,x,9\nBo,1,2,3\nBoo,1,9\n", encoding="utf-8"
    )
    ran = run("log", "answers", "--table", "answers.csv", *DAY)
    assert [line.split(": ")[2] for line in ran.problems] == [f"line {number}" for number in range(2, 7)]
    (club.folder / "there.csv").write_text(
        "date,student,present\n2026-09-10,Anna,yes\n2026-09-10,Ana\n2026-09-10,Bo,perhaps\n", encoding="utf-8"
    )
    ran = run("log", "attendance", "--table", "there.csv")
    assert [line.split(": ")[2] for line in ran.problems] == ["line 2", "line 3", "line 4"]


@pytest.mark.usefixtures("club")
def test_a_group_is_found_whatever_the_spaces_in_its_name() -> None:
    done("group", "rename", "Owls", "Barn Owls")
    assert "Barn Owls on 2026-09-10" in done("log", "attendance", "--group", "barn  owls", *DAY, typed="\n\n")

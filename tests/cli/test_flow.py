"""A club's first weeks, with the commands a coach types."""

import csv
import json
from pathlib import Path

import pytest

from tests.cli.conftest import Club
from tests.cli.drive import done, everything_in, right_answers, run, sheet_in

TERM = ("--from", "2026-09-10", "--until", "2026-12-10", "--weekday", "thu", "--minutes", "60")


def table(path: Path, *rows: tuple[object, ...]) -> str:
    with path.open("w", newline="", encoding="utf-8") as file:
        csv.writer(file).writerows(rows)
    return str(path)


def test_a_term_is_planned_shown_and_printed_for_the_wall(club: Club) -> None:
    planned = done("term", "plan", "--group", "owls", *TERM, "--skip", "2026-10-29", "--to", "wall.pdf")
    lines = planned.splitlines()
    assert lines[0] == "Owls: 13 evenings, 2026-09-10 to 2026-12-10"
    assert lines[1] == "No club on 2026-10-29."
    assert lines[3].split() == ["Evening", "Starts", "Min", "For", "Unit", "Why"]
    assert lines[4].startswith("2026-09-10  ")
    assert planned.count("2026-10-29") == 1
    assert "Every unit fits." in lines
    assert lines[-2:] == ["Written: wall.pdf", "Next: coachbook evening prepare 2026-12-10"]
    assert (club.folder / "wall.pdf").read_bytes().startswith(b"%PDF")
    shown = done("term", "show", "--group", "Owls", "--to", "again.pdf", "--date", "2026-09-10")
    plan, _, _next = planned.rpartition("Next: ")
    assert shown == plan.replace("wall.pdf", "again.pdf")
    assert (club.folder / "again.pdf").read_bytes() == (club.folder / "wall.pdf").read_bytes()


@pytest.mark.usefixtures("club")
def test_a_term_too_short_says_what_did_not_fit() -> None:
    days = ("--from", "2026-09-10", "--until", "2026-09-17", "--weekday", "Thursday")
    short = done("term", "plan", "--group", "Owls", *days, "--minutes", "60")
    assert "Did not fit: " in short
    plan = json.loads(done("term", "show", "--group", "Owls", "--json"))["plan"]
    assert plan["left_over"]
    assert [session["on"] for session in plan["sessions"]] == ["2026-09-10", "2026-09-17"]


def test_a_table_of_answers_is_marked_kept_and_taken_back(club: Club) -> None:
    before = done("review", "--json", "--date", "2026-09-11")
    right = right_answers(sheet_in(club.book, club.sheet))
    rows: list[tuple[object, ...]] = [("student", "item", "answer")]
    rows += [("Ana", number, answer) for number, answer in enumerate(right, start=1)]
    rows += [("bo", 1, right[0]), ("bo", 2, ""), ("bo", 3, "a1a1")]
    told = done("log", "answers", "--table", table(club.folder / "a.csv", *rows), "--date", "2026-09-10")
    lines = [line.split(maxsplit=4) for line in told.splitlines()]
    assert lines[:2] == [["Student", "Right", "Slips"], ["Ana", "6", "of", "6"]]
    assert lines[2][:4] == ["Bo", "1", "of", "3"]
    assert "left 1 blank" in told
    assert told.endswith(f"Kept: 9 answers of 2 students on sheet {club.sheet}, evening of 2026-09-10.\n")
    assert run("review", "--date", "2026-09-11").out.splitlines()[1].startswith("Bo ")
    undone = done("log", "undo")
    assert undone.startswith(f"Taken back: 9 answers of 2 students on sheet {club.sheet} (logged on 20")
    assert done("review", "--json", "--date", "2026-09-11") == before


def test_everyone_is_reviewed_in_time_and_nobody_before(club: Club) -> None:
    right = right_answers(sheet_in(club.book, club.sheet))
    rows = [("Ana", number, answer) for number, answer in enumerate(right, start=1)]
    path = table(club.folder / "a.csv", ("student", "item", "answer"), *rows)
    done("log", "answers", "--table", path, "--date", "2026-09-10")
    assert done("review", "--date", "2026-09-10") == "Nobody needs review.\n"
    (advice,) = json.loads(done("review", "--group", "Owls", "--date", "2027-09-10", "--json"))
    assert set(advice) == {
        *("student", "unit", "unit_title", "urgency", "due_on", "reason"),
        *("items", "play_out", "is_sure", "due_by"),
    }
    assert (advice["student"], advice["unit"]) == ("Ana", "queen-box")
    assert done("review", "--date", advice["due_on"]).startswith("Student  Due         Why")
    assert done("review", "--group", "Foxes", "--date", "2027-09-10") == "Nobody needs review.\n"


def test_attendance_is_logged_by_name_or_from_a_table(club: Club) -> None:
    assert done("log", "attendance", "--group", "Owls", "--date", "2026-09-10", "ana", "Dee") == (
        "Kept: attendance on 2026-09-10: 2 of 4 there.\n"
    )
    rows = [("2026-09-17", "Ana", "yes"), ("2026-09-17", "Bo", "no")]
    path = table(club.folder / "t.csv", ("date", "student", "present"), *rows)
    assert done("log", "attendance", "--table", path) == "Kept: attendance on 2026-09-17: 1 of 2 there.\n"
    assert "attendance on 2026-09-17" in done("log", "undo")
    assert "attendance on 2026-09-10" in done("log", "undo")


@pytest.mark.usefixtures("club")
def test_each_student_may_get_a_sheet_of_their_own() -> None:
    made = done("sheet", "make", "queen-box", "--group", "Owls", "--each", "--items", "3", "--seed", "1")
    rows = [line.split() for line in made.splitlines()[1:4]]
    assert [row[1:] for row in rows] == [["3", "Ana"], ["3", "Bo"], ["3", "Łucja"]]
    assert len({row[0] for row in rows}) == 3
    listed = json.loads(done("sheet", "list", "--student", "Bo", "--json"))
    assert [sheet["students"] for sheet in listed] == [["Ana", "Bo", "Łucja"], ["Bo"]]


@pytest.mark.usefixtures("club")
def test_a_sheet_may_fill_some_minutes() -> None:
    shorter, longer = (
        int(done("sheet", "make", "queen-box", "--student", "Dee", "--minutes", minutes).split()[4])
        for minutes in ("4", "12")
    )
    assert 1 <= shorter < longer <= 24


def test_a_sheet_is_printed_again_byte_by_byte(club: Club) -> None:
    made = {path.name: path.read_bytes() for path in club.folder.glob("queen-box-*.pdf")}
    assert len(made) == 2
    done("sheet", "print", club.sheet.lower(), "--to", "again")
    assert everything_in(club.folder / "again") == made
    done("sheet", "print", club.sheet, "--to", "letters", "--paper", "letter", "--notation", "letters")
    assert everything_in(club.folder / "letters") != made


def test_without_a_seed_one_is_chosen_and_told(club: Club) -> None:
    told = done("sheet", "make", "queen-box", "--student", "Dee", "--items", "3").splitlines()[-2]
    seed = int(told.removeprefix("Seed ").split(":")[0])
    sheets = json.loads(done("sheet", "list", "--student", "Dee", "--json"))
    assert sheet_in(club.book, sheets[0]["code"]).seed == seed


def test_students_come_from_a_table_and_move_between_groups(club: Club) -> None:
    path = table(club.folder / "s.csv", ("name", "group"), ("Eve", "Badgers"), ("Fay", ""))
    assert done("student", "import", path).startswith("Added: 2 students\nNew group: Badgers (1 student)\n")
    assert done("group", "put", "badgers", "Fay", "Ana").startswith("Badgers (3): Ana, Eve, Fay\nNext: ")
    assert done("group", "take", "Badgers", "eve") == "Badgers (2): Ana, Fay\n"
    assert done("student", "list", "--group", "Badgers") == (
        "Student  Groups\nAna      Badgers, Owls\nFay      Badgers\n"
    )
    assert json.loads(done("student", "list", "--json"))[0] == {"name": "Ana", "groups": ["Badgers", "Owls"]}
    assert json.loads(done("group", "list", "--json"))[0] == {"name": "Badgers", "size": 2}


def test_the_club_shows_its_groups_and_its_book(club: Club) -> None:
    assert done("club", "show").splitlines() == [
        "Harbour Lane",
        f"Book      {club.book}",
        "Letters   English (KQRBN)",
        "Students  4",
        "Groups    Foxes (1), Owls (3)",
    ]
    assert json.loads(done("club", "show", "--json"))["groups"] == [
        {"name": "Foxes", "size": 1},
        {"name": "Owls", "size": 3},
    ]


@pytest.mark.usefixtures("club")
def test_the_book_named_by_option_goes_before_the_environment() -> None:
    done("club", "new", "Elsewhere", "--book", "new folder/other.book")
    assert done("club", "show", "--book", "new folder/other.book").startswith("Elsewhere\n")
    assert done("club", "show").startswith("Harbour Lane\n")
    for empty in (("student", "list"), ("group", "list"), ("sheet", "list")):
        assert "yet" in done(*empty, "--book", "new folder/other.book")

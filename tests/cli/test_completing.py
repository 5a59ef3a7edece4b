"""What the Tab key offers, asked for as a shell does."""

import subprocess
import sys
from pathlib import Path

import pytest

from tests.cli.commands import leaves
from tests.cli.conftest import Club
from tests.cli.desk import Desk
from tests.cli.drive import done, everything_in, run

HEAVY = {"alembic", "numpy", "reportlab", "sqlalchemy", "sqlmodel"}
COMPLETED = {"GROUP", "NAME", "NAME...", "UNIT", "CODE", "CODE...", "METHOD", "KIND"}
INVENTED = {("student", "add"), ("group", "add"), ("club", "new"), ("club", "set")}
"""Their names are new, so that nothing can be offered."""


def offered(monkeypatch: pytest.MonkeyPatch, *words: str) -> list[str]:
    """The lines that bash is given for the last of the words, which is unfinished."""
    monkeypatch.setenv("_COACHBOOK_COMPLETE", "complete_bash")
    monkeypatch.setenv("COMP_WORDS", "\n".join(("coachbook", *words)))
    monkeypatch.setenv("COMP_CWORD", str(len(words)))
    ran = run()
    assert (ran.code, ran.err) == (0, "")
    return ran.out.split("\n")[:-1] if ran.out.strip() else []


@pytest.mark.usefixtures("club")
@pytest.mark.parametrize(
    ("words", "expected"),
    [
        (("gro",), ["group"]),
        (("term", "l"), ["lock"]),
        (("group", "show", "O"), ["Owls"]),
        (("group", "put", ""), ["Foxes", "Owls"]),
        (("student", "add", "Eve", "--group", "F"), ["Foxes"]),
        (("term", "plan", "--group", "Owls", "--group", "F"), ["Foxes"]),
        (("student", "erase", "B"), ["Bo"]),
        (("log", "note", "A"), ["Ana"]),
        (("log", "note", "Ana", "queen-b"), ["queen-box"]),
        (("log", "attendance", "Ana", "D"), ["Dee"]),
        (("log", "attendance", "--absent", "B"), ["Bo"]),
        (("lesson", "make", "two"), ["two-majors"]),
        (("term", "replan", "--not-done", "two"), ["two-majors"]),
        (("poster", "make", "ro"), ["rook-box"]),
        (("ending", "plan", "FEN", "--method", "ro"), ["rook-box"]),
        (("sheet", "make", "queen-box", "--kind", "every"), ["every_mate"]),
        (("sheet", "make", "queen-box", "--own", "x", "--for"), ["--forms"]),
        (("student", "show", "Zed"), []),
    ],
)
def test_names_and_codes_that_begin_so_are_offered(
    monkeypatch: pytest.MonkeyPatch, words: tuple[str, ...], expected: list[str]
) -> None:
    assert offered(monkeypatch, *words) == expected


def test_sheets_are_offered_the_newest_first(club: Club, monkeypatch: pytest.MonkeyPatch) -> None:
    done("sheet", "make", "two-majors", "--student", "Dee", "--items", "2", "--date", "2026-09-17")
    newest, oldest = offered(monkeypatch, "log", "answers", "")
    assert (newest[:3], oldest) == ("TM-", club.sheet)


def test_a_name_of_two_words_is_one_word_of_the_line_in_bash(
    club: Club, monkeypatch: pytest.MonkeyPatch
) -> None:
    assert club.book.exists()
    done("student", "add", "Eve O'Hara")
    assert offered(monkeypatch, "student", "show", "E") == [r"Eve\ O\'Hara"]
    monkeypatch.setenv("_COACHBOOK_COMPLETE", "complete_zsh")
    monkeypatch.setenv("_TYPER_COMPLETE_ARGS", "coachbook student show E")
    assert "Eve O'Hara" in run().out.replace("''", "'")


def test_what_a_command_is_for_is_set_apart_by_a_tab_for_fish(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("_COACHBOOK_COMPLETE", "complete_fish")
    monkeypatch.setenv("_TYPER_COMPLETE_ARGS", "coachbook evening p")
    monkeypatch.setenv("_TYPER_COMPLETE_FISH_ACTION", "get-args")
    assert run().out.startswith("prepare\tMake the two files of an evening.")


@pytest.mark.parametrize("book", ["none.book", "notes.txt", "."])
def test_without_a_book_that_can_be_read_nothing_is_offered(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, book: str
) -> None:
    monkeypatch.chdir(tmp_path)
    Path("notes.txt").write_text("Not a book.\n", encoding="utf-8")
    monkeypatch.setenv("COACHBOOK_BOOK", book)
    monkeypatch.setenv("COACHBOOK_SYLLABUS", "none")
    for words in (
        ("group", "show", ""),
        ("log", "answers", ""),
        ("student", "show", "A"),
        ("card", "make", "q"),
    ):
        assert offered(monkeypatch, *words) == []
    assert list(everything_in(tmp_path)) == ["notes.txt"]


def test_the_book_that_the_line_names_is_asked(club: Club, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("COACHBOOK_BOOK", "none.book")
    assert offered(monkeypatch, "group", "show", "--book", str(club.book), "O") == ["Owls"]


def test_asking_changes_nothing(desk: Desk, monkeypatch: pytest.MonkeyPatch) -> None:
    before = everything_in(desk.folder)
    assert offered(monkeypatch, "student", "show", "A") == ["Ana"]
    assert everything_in(desk.folder) == before


def test_nothing_heavy_is_loaded_for_a_name(club: Club) -> None:
    code = f"""
import os, sys
os.environ |= {{"_COACHBOOK_COMPLETE": "complete_bash", "COMP_CWORD": "3"}}
os.environ["COMP_WORDS"] = "coachbook group show O"
from coachbook.cli.main import main
try:
    main()
finally:
    print(*sorted({HEAVY!r} & set(sys.modules)))
"""
    ran = subprocess.run(
        [sys.executable, "-c", code], capture_output=True, text=True, check=True, cwd=club.folder
    )
    assert ran.stdout.split() == ["Owls"]


def test_wherever_a_name_or_a_code_is_asked_for_it_is_offered() -> None:
    lacking = [
        (words, each.name)
        for words, command in leaves()
        for each in command.params
        if getattr(each, "metavar", None) in COMPLETED
        and each._custom_shell_complete is None
        and not (words in INVENTED and each.name == "name")
    ]
    assert lacking == [(("ending", "table"), "name"), (("ending", "build"), "name")]

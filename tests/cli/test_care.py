"""Backup, restore, check, rename and erase as a coach types them."""

import sqlite3
from collections.abc import Callable
from contextlib import closing
from pathlib import Path

import pytest

from coachbook.club.backup import own_backups
from tests.cli.conftest import Club
from tests.cli.drive import done, everything_in, right_answers, run, sheet_in


def test_a_backup_is_told_with_what_it_holds_and_how_to_bring_it_back(club: Club) -> None:
    told = done("backup").splitlines()
    (made,) = own_backups(club.book)
    assert told == [
        "Backed up and checked: 4 students, 1 sheet, 0 answers.",
        f"The backup: {made}",
        f"To bring it back: coachbook restore {made.name}",
    ]
    assert "coachbook restore 'our copy.book'" in done("backup", "--to", "our copy.book")
    assert run("backup", "--to", "our copy.book").err.startswith(
        "coachbook: There is already a file our copy.book."
    )


@pytest.mark.usefixtures("club")
def test_a_backup_is_brought_back_and_the_way_back_is_told() -> None:
    before = done("student", "list")
    done("backup", "--to", "copy.book")
    done("student", "add", "Zoe")
    done("student", "erase", "Dee", "--yes")
    later = done("student", "list")
    told = done("restore", "copy.book").splitlines()
    assert told[0] == "Brought back: 4 students, 1 sheet, 0 answers."
    assert "In the book again: Dee." in told
    assert "If one of them had been erased, do it again with 'coachbook student erase NAME'." in told
    assert "No longer in the book: Zoe." in told
    assert done("student", "list") == before
    done(*told[-1].removeprefix("To bring it back: coachbook ").split())
    assert done("student", "list") == later


def test_a_lost_book_is_brought_back(club: Club) -> None:
    done("backup")
    before = done("student", "list")
    club.book.unlink()
    assert run("student", "list").code == 2
    assert (
        done("restore", own_backups(club.book)[0].name) == "Brought back: 4 students, 1 sheet, 0 answers.\n"
    )
    assert done("student", "list") == before


def test_all_is_well(club: Club) -> None:
    answers = ";".join(right_answers(sheet_in(club.book, club.sheet)))
    done("log", "answers", "--date", "2026-09-10", typed=f"{answers}\n\n\n\n")
    backups = len(own_backups(club.book))
    told = done("check", "--date", "2026-09-17").splitlines()
    assert told == [
        "Nothing is logged for Dee.",
        f"All is well: 4 students, 1 sheet, 6 answers, {backups} backup{'' if backups == 1 else 's'}.",
    ]


def test_who_was_not_seen_for_long_is_listed_with_what_to_do(club: Club) -> None:
    assert club.book.exists()
    told = done("check", "--date", "2027-09-11", "--months", "12").splitlines()
    assert told[:5] == [
        "Not seen for more than 12 months:",
        "  Ana (last on 2026-09-10)",
        "  Bo (last on 2026-09-10)",
        "  Łucja (last on 2026-09-10)",
        "Your club's rules decide how long to keep data: 'coachbook student erase NAME' erases it.",
    ]
    assert "Not seen" not in done("check", "--date", "2027-09-11", "--months", "13")


def test_each_finding_is_a_line_and_the_exit_code_is_2(club: Club) -> None:
    for _ in range(2):
        done("backup")
    for backup in own_backups(club.book):
        backup.write_text("spoilt")
    ran = run("check")
    assert ran.code == 2
    assert "All is well" not in ran.out
    assert [line.split(": ")[:3] for line in ran.problems] == [
        ["coachbook", "club.book", f"backup {backup.name}"] for backup in own_backups(club.book)
    ]


def test_a_damaged_sheet_is_neither_printed_nor_marked_and_a_backup_brings_it_back(club: Club) -> None:
    done("backup")
    (made,) = own_backups(club.book)
    with closing(sqlite3.connect(club.book)) as connection, connection:
        connection.execute("UPDATE sheet SET body = replace(body, 'Q', 'q')")
    before = everything_in(club.folder)
    told = (
        f"coachbook: The sheet {club.sheet} is damaged in the book. Bring back a backup with"
        " 'coachbook restore NAME', then print it again."
    )
    for words in (("sheet", "print", club.sheet, "--to", "paper"), ("log", "answers", club.sheet)):
        ran = run(*words, typed="1\n")
        assert (ran.code, ran.problems) == (2, [told])
    assert everything_in(club.folder) == before
    assert "is damaged in the book" in run("check").err
    done("restore", made.name)
    done("sheet", "print", club.sheet, "--to", "paper")


def test_a_student_is_renamed_in_backups_too(club: Club) -> None:
    done("backup")
    assert done("student", "rename", "ana", " Anna  Lena ").splitlines() == [
        "Renamed: Ana is Anna Lena, here and in 1 backup.",
        "To take it back: coachbook student rename 'Anna Lena' Ana",
    ]
    assert "Anna Lena" in done("student", "list", "--book", str(own_backups(club.book)[0]))
    assert run("student", "rename", "Bo", "dee").err.startswith("coachbook: There is already a student 'Dee'")


@pytest.mark.usefixtures("club")
def test_without_backups_none_are_told_of() -> None:
    assert done("student", "rename", "ana", "Anna").startswith("Renamed: Ana is Anna.\n")
    assert done("student", "erase", "Anna", "--yes").startswith("Erased: Anna, with 2 facts.\n")


@pytest.mark.usefixtures("club")
def test_erasing_tells_what_was_done_and_what_is_out_of_reach() -> None:
    done("backup")
    told = done("student", "erase", "ana", "--yes")
    assert told.startswith("Erased: Ana, with 2 facts, here and in 1 backup.\n")
    for out_of_reach in (
        "printed pages",
        "PDF, CSV",
        "backup --to",
        "computer's own backups",
        "not yet overwritten",
        "temporary files",
        "nickname",
    ):
        assert out_of_reach in told
    assert "safeguarding rules" in told
    assert "data-protection law" in told
    assert "Ana" not in done("student", "list")


def test_what_cannot_be_read_is_told_before_the_name_is_asked_and_stays(club: Club) -> None:
    done("backup")
    (made,) = own_backups(club.book)
    made.write_text("spoilt")
    own = made.with_name("secret.book")
    own.write_text("encrypted by the coach")
    asked = run("student", "erase", "Ana")
    told = [
        f"coachbook cannot read this file; delete it if it may hold the name: {path}" for path in (made, own)
    ]
    assert (asked.code, asked.out.splitlines()) == (2, told)
    assert done("student", "erase", "Ana", "--yes").splitlines()[:2] == told
    assert (made.read_text(), own.read_text()) == ("spoilt", "encrypted by the coach")


def test_without_a_terminal_an_erasure_must_be_told_to_be_sure(club: Club) -> None:
    before = everything_in(club.folder)
    ran = run("student", "erase", "Ana", typed="Ana\n")
    assert (ran.code, ran.problems) == (
        2,
        ["coachbook: Erasing needs a yes, and there is no terminal to ask at. Give --yes, if you are sure."],
    )
    assert everything_in(club.folder) == before


@pytest.mark.usefixtures("club")
def test_who_types_what_is_not_text_erases_nothing(at_a_terminal: Callable[[], None]) -> None:
    at_a_terminal()
    ran = run("student", "erase", "Ana", typed=b"Ana\xff\n")
    assert (ran.code, ran.err) == (2, "coachbook: What was typed is not UTF-8 text. Nothing was erased.\n")
    assert "Ana" in done("student", "list")


@pytest.mark.parametrize("typed", ["", "ana\n", "yes\n", "\n"])
def test_on_a_terminal_the_name_must_be_typed(
    club: Club, at_a_terminal: Callable[[], None], typed: str
) -> None:
    at_a_terminal()
    before = everything_in(club.folder)
    ran = run("student", "erase", "Ana", typed=typed)
    told = "This erases Ana, with 2 facts: groups, sheets, attendance, answers, play-outs, notes.\n"
    assert told in ran.out
    assert (ran.code, ran.err.endswith("Nothing was erased.\n")) == (2, True)
    assert everything_in(club.folder) == before
    assert "Erased: Ana, with 2 facts.\n" in done("student", "erase", "ana", typed="Ana\n")


@pytest.mark.parametrize(
    ("arguments", "told"),
    [
        (("restore", "none.book"), "There is no backup none.book. The book has none."),
        (("restore", "club.book"), "club.book is the book itself."),
        (("backup", "--to", "none/copy.book"), "There is no folder none."),
        (("backup", "--to", "."), "Name a file in it."),
        (("backup", "--to", "x" * 300), "(File name too long)"),
        (("restore", ""), ". is a folder, not a backup."),
        (("restore", "club.book", "--book", ""), ". is a folder, not a book."),
        (("restore", "club.book", "--book", "x" * 250), "(File name too long)"),
        (("backup", "--book", "none.book"), "There is no book none.book."),
        (("check", "--months", "0"), "The number of months cannot be 0."),
        (("check", "--months", "some"), "'some' is not a whole number."),
        (("student", "erase", "Anna", "--yes"), "There is no student 'Anna'. Did you mean 'Ana'?"),
        (("student", "rename", "Anna", "Eve"), "There is no student 'Anna'. Did you mean 'Ana'?"),
        (("student", "rename", "Ana", "?"), "A student needs a name"),
    ],
)
def test_a_mistake_is_one_line_and_changes_nothing(club: Club, arguments: tuple[str, ...], told: str) -> None:
    before = everything_in(club.folder)
    ran = run(*arguments)
    assert ran.code == 2
    assert len(ran.problems) == 1
    assert told in ran.err
    assert everything_in(club.folder) == before
    assert Path("club.book").exists()

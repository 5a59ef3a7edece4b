"""Notes on others that may mention a student: shown whole, asked about, and told if they stay."""

from collections.abc import Callable
from contextlib import closing

import pytest

from coachbook.club.backup import own_backups
from coachbook.club.book import open_book
from coachbook.club.connection import connect
from coachbook.club.results import observations
from tests.cli.conftest import Club
from tests.cli.drive import done, everything_in, run

DAY = ("--date", "2026-09-17")


@pytest.fixture
def told_club(club: Club, at_a_terminal: Callable[[], None]) -> Club:
    """Notes on Bo and Dee that name Ana, or nearly; a group of hers; and a backup of all that."""
    for name, text in (
        ("Bo", "asked Ana and Anas brother"),
        ("Dee", "sat with ANA"),
        ("Bo", "as quick as Ana"),
    ):
        done("log", "note", name, "queen-box", text, *DAY)
    done("group", "add", "Ana's table")
    for backup in own_backups(club.book):
        backup.unlink()
    done("backup")
    at_a_terminal()
    return club


def notes(club: Club) -> list[str]:
    """Of the book; of its backup there must be the same."""
    found = []
    for path in (club.book, own_backups(club.book)[-1]):
        with open_book(path).reading() as page:
            found.append([seen.note for seen in observations(page)])
    assert found[0] == found[1]
    return found[0]


def test_each_text_is_shown_whole_with_the_marks_and_becomes_what_is_said(told_club: Club) -> None:
    told = done("student", "erase", "ana", typed="t\nl\nd\nt\nAna\n")
    for words in (
        "4 other texts may mention Ana. For each of them, type\n",
        "1 of 4: A note on Bo (queen-box, 2026-09-17, entry 1)\n  asked [1: Ana] and [2: Anas] brother\n",
        "2 of 4: A note on Dee (queen-box, 2026-09-17, entry 2)\n  sat with [ANA]\n",
        "4 of 4: A group's name\n  [Ana]'s table\n",
        "Erased: Ana, with 2 facts, here and in 1 backup; 3 other texts changed.\n",
        "Left as they are, though they may mention Ana:\n",
        "  A note on Dee (queen-box, 2026-09-17, entry 2): sat with [ANA]\n",
    ):
        assert words in told
    assert notes(told_club) == ["asked (erased) and (erased) brother", "sat with ANA"]
    assert "(erased)'s table" in done("group", "list")


@pytest.mark.parametrize(
    ("typed", "left"),
    [
        ("t1\nl\nl\nl\n", ["asked (erased) and Anas brother", "sat with ANA", "as quick as Ana"]),
        ("1, 2\nl\nl\nl\n", ["asked (erased) and (erased) brother", "sat with ANA", "as quick as Ana"]),
        ("l\ntt\n", ["asked Ana and Anas brother", "sat with (erased)", "as quick as (erased)"]),
        ("t\nll\n", ["asked (erased) and (erased) brother", "sat with ANA", "as quick as Ana"]),
        ("t\n<\nl\nll\n", ["asked Ana and Anas brother", "sat with ANA", "as quick as Ana"]),
        (
            f"t3\nx\n\nt0\n1,\n{'9' * 5000}\n\u0663\n<\nll\n",
            ["asked Ana and Anas brother", "sat with ANA", "as quick as Ana"],
        ),
    ],
)
def test_some_marks_or_all_texts_can_be_meant_and_an_answer_taken_back(
    told_club: Club, typed: str, left: list[str]
) -> None:
    done("student", "erase", "Ana", typed=f"{typed}Ana\n")
    assert notes(told_club) == left


@pytest.mark.parametrize("typed", ["", "t\n", b"\xff\n", "t\nt\nt\nt\nBo\n"])
def test_who_stops_at_a_question_erases_nothing(told_club: Club, typed: str | bytes) -> None:
    before = everything_in(told_club.folder)
    ran = run("student", "erase", "Ana", typed=typed)
    assert (ran.code, ran.err.endswith("Nothing was erased.\n")) == (2, True)
    assert everything_in(told_club.folder) == before


def test_with_yes_alone_no_note_is_changed_and_each_is_told_with_what_to_do(told_club: Club) -> None:
    told = done("student", "erase", "Ana", "--yes")
    assert "Erased: Ana, with 2 facts, here and in 1 backup.\n" in told
    assert "  A note on Bo (queen-box, 2026-09-17, entry 3): as quick as [Ana]\n" in told
    assert "To be asked about each: coachbook student erase Ana\n" in told
    assert "coachbook student erase Ana --yes --mentions erase\n" in told
    assert notes(told_club) == ["asked Ana and Anas brother", "sat with ANA", "as quick as Ana"]


def test_the_whole_name_can_be_taken_out_wherever_it_stands_also_later(told_club: Club) -> None:
    taken_out = ["asked (erased) and Anas brother", "sat with ANA", "as quick as (erased)"]
    done("student", "erase", "Ana", "--yes", "--mentions", "keep")
    assert "Give --mentions erase" not in run("student", "erase", "Ana", "--yes").out
    assert "give --mentions erase" in run("student", "erase", "Ana", "--yes").err
    told = done("student", "erase", "Ana", "--yes", "--mentions", "erase")
    assert "Erased: no student, here and in 1 backup; 3 other texts changed.\n" in told
    assert notes(told_club) == taken_out
    again = done("student", "erase", "Ana", typed="t\nt\nAna\n")
    assert "There is no student Ana, but other texts may mention the name.\n" in again
    assert notes(told_club) == [
        "asked (erased) and (erased) brother",
        "sat with (erased)",
        "as quick as (erased)",
    ]
    assert "There is no student 'Ana'." in run("student", "erase", "Ana").err


def test_who_is_renamed_is_asked_about_too_and_enter_leaves_it(told_club: Club) -> None:
    told = done("student", "rename", "ana", "Edda", typed="r\n\n\nr\n")
    for words in (
        "r  write 'Edda' instead\n  l  leave it as it is (or press Enter)\n",
        "Renamed: Ana is Edda, here and in 1 backup; 2 other texts changed.\n",
        "Left as they are, though they may mention Ana:\n",
        "  A note on Bo (queen-box, 2026-09-17, entry 3): as quick as [Ana]\n",
    ):
        assert words in told
    assert notes(told_club) == ["asked Edda and Edda brother", "sat with ANA", "as quick as Ana"]
    assert "Edda's table" in done("group", "list")


def test_a_renaming_that_is_stopped_or_not_possible_changes_nothing(told_club: Club) -> None:
    before = everything_in(told_club.folder)
    assert (
        run("student", "rename", "Ana", "Edda", typed="r\n").err
        == "coachbook: Stopped. Nothing was renamed.\n"
    )
    assert "already a student 'Bo'" in run("student", "rename", "Ana", "bo", typed="r\n").err
    assert everything_in(told_club.folder) == before


@pytest.mark.parametrize(
    ("option", "left"),
    [
        ("rename", ["asked Edda and Anas brother", "sat with ANA", "as quick as Edda"]),
        ("keep", ["asked Ana and Anas brother", "sat with ANA", "as quick as Ana"]),
    ],
)
def test_a_renaming_need_not_ask(told_club: Club, option: str, left: list[str]) -> None:
    done("student", "rename", "Ana", "Edda", "--mentions", option)
    assert notes(told_club) == left


@pytest.mark.usefixtures("club")
def test_without_a_terminal_a_renaming_changes_no_note_and_tells_of_each() -> None:
    done("log", "note", "Bo", "queen-box", "asked Ana", *DAY)
    told = done("student", "rename", "Ana", "Edda")
    assert "entry 1): asked [Ana]\n" in told
    assert "coachbook log undo ENTRY" in told


def test_what_a_terminal_would_obey_is_not_shown(club: Club, at_a_terminal: Callable[[], None]) -> None:
    done("log", "note", "Bo", "queen-box", "asked Ana", *DAY)
    with closing(connect(club.book)) as connection:
        connection.execute("UPDATE observation SET note = ?", ("asked \x1b[2J Ana\nand left",))
    at_a_terminal()
    told = done("student", "erase", "Ana", typed="l\nAna\n")
    assert "  asked \N{REPLACEMENT CHARACTER}[2J [Ana] and left\n" in told


def test_nobody_is_erased_by_an_empty_name(club: Club) -> None:
    before = everything_in(club.folder)
    ran = run("student", "erase", "", "--yes")
    assert (ran.code, len(ran.problems)) == (2, 1)
    assert everything_in(club.folder) == before


def test_erasing_says_that_what_was_taken_back_goes_too(club: Club) -> None:
    done("log", "note", "Bo", "queen-box", "unrelated", *DAY)
    done("log", "undo")
    told = done("student", "erase", "Ana", "--yes")
    assert "Also deleted: all log entries that were taken back, of any student.\n" in told
    assert "There is nothing to bring back." in run("log", "redo").err
    assert "taken back, whoever" not in done("student", "erase", "Bo", "--yes")
    assert club.book.exists()

"""A sheet of 0.1.0, which has no checksum, is relied on only while it says one and the same thing."""

from contextlib import closing
from dataclasses import replace
from datetime import date
from pathlib import Path

import chess
import pytest

from coachbook.club.book import Book
from coachbook.club.connection import connect
from coachbook.club.sheets import save_worksheet
from coachbook.club.stored import opened, worksheet_text
from coachbook.endgame.symmetry import symmetry_key
from coachbook.errors import Advice, CoachbookError, Step
from coachbook.model.claims import AllMates, MateIn
from coachbook.model.position import Arrow, Marks, Position
from coachbook.model.worksheet import Answer, AnswerForm, Exercise, Solution, Worksheet
from coachbook.wording.exercises import say
from coachbook.workflows.checking import Checked, check_book
from coachbook.workflows.printed_sheets import sound_sheet
from tests.club.copies import empty_book

DAY = date(2026, 11, 25)
FEN = "7k/8/5K2/8/8/8/8/6Q1 w - - 0 1"
SOUND = Exercise(
    kind="mate_in_one",
    unit="queen-box",
    position=Position(FEN),
    task=say("task_every_mate"),
    task_marks=Marks(),
    answer=Answer(AnswerForm.MOVES, ("Qg7#",), all_needed=False, wrong="not mate", missed="missed mate"),
    solution=Solution(Marks(arrows=(Arrow(chess.G1, chess.G7),)), say("only_mate")),
    claims=(MateIn(1), AllMates(frozenset({"g1g7"}))),
    difficulty=10,
    key=symmetry_key(chess.Board(FEN)),
    seed=1,
)


def sheet_of(item: Exercise) -> Worksheet:
    return Worksheet(
        "QB-1", "Harbour Lane", "queen-box", "The queen's box", 1, "First steps", DAY, 7, (item, SOUND)
    )


@pytest.fixture
def book(tmp_path: Path) -> Book:
    made = empty_book(tmp_path / "club.book", "Harbour Lane")
    with made.writing() as page:
        save_worksheet(page, sheet_of(SOUND), ())
    return made


def write(book: Book, sheet: Worksheet) -> None:
    """The sheet stands in the book as coachbook 0.1.0 wrote it."""
    with closing(connect(book.path)) as connection:
        connection.execute("UPDATE sheet SET body = ?", (opened(worksheet_text(sheet)),))


def check(book: Book) -> Checked:
    return check_book(book, DAY, 12, lambda _done, _of, _what: None)


def test_one_that_is_as_it_was_is_given_back_and_nothing_is_found(book: Book) -> None:
    write(book, sheet_of(SOUND))
    assert (check(book).findings, check(book).outdated) == ((), ())
    with book.reading() as page:
        assert sound_sheet(page, "qb-1") == sheet_of(SOUND)


@pytest.mark.parametrize(
    ("item", "told"),
    [
        (replace(SOUND, answer=replace(SOUND.answer, accepted=("Qg8#",))), "is not legal or badly written"),
        (replace(SOUND, answer=replace(SOUND.answer, accepted=("Qg2",))), "its answer is not what it claims"),
        (replace(SOUND, claims=(MateIn(1), AllMates(frozenset({"g1g6"})))), "is not what it claims"),
        (replace(SOUND, position=Position("7k/8/5K2/8/8/8/8/6P1 w - - 0 1")), "its position is not legal"),
        (replace(SOUND, position=Position("7k/8/5K2/8/8/8/6P1/8 w - - 0 1")), "its key belongs to another"),
    ],
)
def test_one_that_is_damaged_is_found_and_not_given_back(book: Book, item: Exercise, told: str) -> None:
    write(book, sheet_of(item))
    (finding,) = check(book).findings
    assert finding.where == "sheet QB-1, item 1"
    assert told in finding.message
    with book.reading() as page, pytest.raises(CoachbookError, match="sheet QB-1 is damaged") as raised:
        sound_sheet(page, "qb-1")
    assert raised.value.hint == Advice(Step.RESTORE_AND_PRINT_AGAIN)


def test_one_that_would_not_be_made_so_today_is_told_and_no_fault(book: Book) -> None:
    sheet = sheet_of(replace(SOUND, task=say("task_final_position")))
    write(book, sheet)
    checked = check(book)
    assert checked.findings == ()
    ((code, reason),) = checked.outdated
    assert code == "QB-1"
    assert "its sentence 'task_final_position' is not true" in reason
    with book.reading() as page:
        assert sound_sheet(page, "QB-1") == sheet


def test_one_with_a_checksum_is_not_worked_out_again(book: Book) -> None:
    assert (check(book).findings, check(book).outdated) == ((), ())
    with book.reading() as page:
        assert sound_sheet(page, "QB-1") == sheet_of(SOUND)

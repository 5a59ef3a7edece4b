"""The wall shows each board with what a coach looks for, and nothing else."""

from datetime import timedelta
from pathlib import Path

import pytest

from coachbook.club.book import Book
from coachbook.club.log import last_entries
from coachbook.endgame.probe import judge_moves
from coachbook.errors import CoachbookError
from coachbook.wording.practice_words import BoardSign
from coachbook.workflows.evening_log import undo
from coachbook.workflows.played_through import played_through
from coachbook.workflows.playing_at_boards import seat_of, stop_game
from coachbook.workflows.wall import WallBoard, large_board, wall
from tests.workflows.conftest import club_of
from tests.workflows.foxes import SYLLABUS, planned, played
from tests.workflows.test_playing_at_boards import BEGUN, BO, ON, begun, move, play

LETTERS = "KQRBN"


@pytest.fixture
def foxes(tmp_path: Path) -> Book:
    book = club_of(tmp_path, ("Ana Lund", "Bo"), "Foxes", name="Hill Street")
    planned(book)
    return book


def boards(book: Book, minutes: float = 0) -> list[WallBoard]:
    return list(wall(book, SYLLABUS, ON, BEGUN + timedelta(minutes=minutes)))


def test_each_student_has_one_board_with_the_game_that_is_played_now(foxes: Book) -> None:
    begun(foxes, number=5)
    begun(foxes, "queen-box", 2, number=6)
    begun(foxes, number=7, student=BO)
    assert [(each.name, each.game, each.counted) for each in boards(foxes)] == [
        ("Ana", 6, "0 of 16 moves"),
        ("Bo", 7, "0 of 16 moves"),
    ]


def test_who_does_not_move_for_two_minutes_is_stuck(foxes: Book) -> None:
    number = begun(foxes)
    assert [each.sign for each in boards(foxes, 1.9)] == [None]
    (stuck,) = boards(foxes, 3.5)
    assert (stuck.sign, stuck.words) == (BoardSign.STUCK, "stuck: no move for 3 minutes")
    move(foxes, number, "c1c5", seconds=200)
    assert [each.sign for each in boards(foxes, 3.5)] == [None]


def test_a_win_that_is_gone_is_a_slip_while_the_game_goes_on(foxes: Book) -> None:
    number = begun(foxes, "king-and-pawn")
    worst = judge_moves(seat_of(foxes, SYLLABUS, ON, number).practice.board)[-1].move
    move(foxes, number, worst.uci())
    (slipped,) = boards(foxes)
    assert (slipped.sign, slipped.words) == (BoardSign.SLIPPED, "slipped: the win is gone")


def test_a_game_that_is_over_says_how_and_has_its_entry_in_the_log(foxes: Book) -> None:
    number = begun(foxes)
    seat = play(foxes, number)
    (done,) = boards(foxes, 60)
    assert (done.sign, done.words) == (BoardSign.DONE, "done: checkmate: you have won.")
    large = large_board(foxes, SYLLABUS, ON, number, BEGUN, LETTERS)
    assert large.line.startswith("1. ")
    assert not large.may_take_back
    assert large.entry is not None
    found = played_through(foxes, SYLLABUS, large.entry, LETTERS)
    assert (found.student, found.title) == ("Ana Lund", SYLLABUS.titles["queen-box"])
    assert found.result.endswith(", against coachbook")
    assert len(found.moments) == len(seat.game.moves) + 1
    assert [each.clock for each in found.moments[:4]] == ["", "after 0:03", "after 0:03", "after 0:06"]
    assert found.moments[-1].position.fen.split()[0] == seat.practice.board.board_fen()


def test_what_was_taken_out_of_the_log_has_no_entry(foxes: Book) -> None:
    number = begun(foxes)
    move(foxes, number, "c1c5")
    stop_game(foxes, SYLLABUS, ON, number, BEGUN)
    undo(foxes, BEGUN, None)
    assert large_board(foxes, SYLLABUS, ON, number, BEGUN, LETTERS).entry is None


def test_only_a_play_out_with_moves_is_played_through(foxes: Book) -> None:
    played(foxes, "Bo", "PLAY-QUEEN-BOX-1", ON)
    with foxes.reading() as tx:
        (entry, *_) = last_entries(tx, 1)
    for number in (entry.id, 99):
        with pytest.raises(CoachbookError, match="No moves are in the log"):
            played_through(foxes, SYLLABUS, number, LETTERS)

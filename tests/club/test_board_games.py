"""Games at the boards of an evening: kept as far as they have come, and no longer than till the next one."""

from collections.abc import Callable
from dataclasses import replace
from datetime import date, datetime, timedelta

import pytest

from coachbook.club.board_games import add_game, game_numbered, games_on, keep_moves
from coachbook.club.book import Book
from coachbook.club.students import add_student
from coachbook.errors import CoachbookError
from coachbook.model.play_outs import BoardGame

Begin = Callable[..., BoardGame]


@pytest.fixture
def begin(book: Book, now: datetime, evening: date) -> Begin:
    """Begins a game of a student, and returns it."""
    with book.writing() as w:
        ids = {name: add_student(w, name).id for name in ("Mina", "Tom")}

    def begun(number: int, student: str = "Mina", on: date = evening, seconds: int = 0) -> BoardGame:
        at = now + timedelta(seconds=seconds)
        game = BoardGame(number, ids[student], student, on, "queen-box", 1, False, at, at)
        with book.writing() as w:
            add_game(w, game)
        return game

    return begun


def test_a_game_is_read_as_it_was_kept(book: Book, begin: Begin, now: datetime) -> None:
    game = begin(7)
    later = replace(
        game, moves=("c1c5", "e6d6"), clocks=(4, 4), moved_at=now + timedelta(seconds=4), stopped=True
    )
    with book.writing() as w:
        keep_moves(w, later)
    with book.reading() as r:
        assert game_numbered(r, 7) == later


def test_games_of_an_evening_come_in_the_order_in_which_they_began(
    book: Book, begin: Begin, evening: date
) -> None:
    begin(9)
    begin(3, seconds=1)
    begin(5, "Tom", seconds=2)
    with book.reading() as r:
        assert [each.number for each in games_on(r, evening)] == [9, 3, 5]
        assert [each.student for each in games_on(r, evening, 2)] == ["Tom"]


def test_games_of_earlier_evenings_go_with_the_first_of_a_new_one(
    book: Book, begin: Begin, evening: date
) -> None:
    begin(1)
    begin(2, on=evening + timedelta(days=7))
    with book.reading() as r:
        assert games_on(r, evening) == []
        with pytest.raises(CoachbookError, match="no longer here"):
            game_numbered(r, 1)

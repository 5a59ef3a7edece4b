"""The wall: the coach sees each board, and steps in; the board hears of it."""

import asyncio
import json
import re

import pytest

from coachbook.club.book import Book
from coachbook.club.results import play_outs
from coachbook.desk.asked import Desk
from coachbook.workflows.playing_at_boards import seat_of
from tests.desk.conftest import Browser, browser_of, desk_of, words
from tests.workflows.foxes import SYLLABUS
from tests.workflows.test_playing_at_boards import ON, begun


@pytest.fixture
def coach(foxes: Book) -> Browser:
    """The coach's browser on the second evening."""
    return browser_of(desk_of(foxes.path, ON))


def moved(coach: Browser, number: int, uci: str) -> None:
    at = len(seat_of(_book(coach.desk), SYLLABUS, ON, number).game.moves)
    coach.post(f"/seat/game/{number}/move", at=at, uci=uci)


def _book(desk: Desk) -> Book:
    from coachbook.club.book import open_book

    assert desk.book is not None
    return open_book(desk.book)


def part(coach: Browser, path: str) -> str:
    return coach.client.get(path, headers={"x-part": "yes"}).text


def test_a_wall_without_boards_says_so(coach: Browser) -> None:
    assert "Nobody sits at a board yet." in coach.get("/wall")


def test_each_board_is_shown_small_and_opens_at_large(coach: Browser, foxes: Book) -> None:
    begun(foxes)
    begun(foxes, number=6, student=2)
    page = coach.get("/wall")
    assert re.findall(r'href="/wall/(\d+)"', page) == ["5", "6"]
    assert "0 of 16 moves" in words(page)
    assert part(coach, "/wall").lstrip().startswith('<div id="wall"')
    assert part(coach, "/wall/5").lstrip().startswith('<div id="large"')
    assert "Ana" in coach.get("/wall/5")


def test_a_move_is_taken_back(coach: Browser, foxes: Book) -> None:
    number = begun(foxes)
    moved(coach, number, "c1c5")
    assert "Take the last move back" in coach.get(f"/wall/{number}")
    page = coach.post(f"/wall/{number}/back").text
    assert "0 of 16 moves" in words(page)
    assert "Take the last move back" not in page
    coach.post(f"/wall/{number}/back", 422)


def test_a_stopped_game_can_be_played_through_and_taken_out_of_the_log(coach: Browser, foxes: Book) -> None:
    number = begun(foxes)
    moved(coach, number, "c1c5")
    page = coach.post(f"/wall/{number}/stop").text
    assert "done: the game stops here." in words(page)
    (through,) = re.findall(r'href="(/played/\d+/0)"', page)
    told = words(coach.get(through.removesuffix("0") + "1"))
    assert "Stopped (does not count), against coachbook." in told
    assert "After 0:00." in told
    coach.get(through.removesuffix("0") + "3", 422)
    (undo,) = re.findall(r'href="(/log/\d+/undo)"', page)
    assert f'href="{through}"' in coach.get(undo)
    coach.post(undo)
    with foxes.reading() as tx:
        assert play_outs(tx) == []


def test_a_game_that_is_stopped_before_a_move_leaves_the_wall(coach: Browser, foxes: Book) -> None:
    page = coach.post(f"/wall/{begun(foxes)}/stop").text
    assert "Nobody sits at a board yet." in page
    assert "The game stops here." in coach.get("/seat/game/5")
    coach.get("/wall/6", 422)


def test_another_position_goes_to_the_same_board(coach: Browser, foxes: Book) -> None:
    number = begun(foxes)
    moved(coach, number, "c1c5")
    answer = coach.post(f"/wall/{number}/another", card="queen-box.2")
    given = answer.url.path.rpartition("/")[2]
    assert f'data-next="/seat/game/{given}"' in coach.get(f"/seat/game/{number}")
    assert seat_of(foxes, SYLLABUS, ON, int(given)).practice.number == 2


@pytest.mark.parametrize("card", ["", "x", "queen-box.", "queen-box.99", "no-unit.1"])
def test_a_position_that_there_is_not_is_refused_and_the_game_goes_on(
    coach: Browser, foxes: Book, card: str
) -> None:
    number = begun(foxes)
    coach.post(f"/wall/{number}/another", 422, card=card)
    assert not seat_of(foxes, SYLLABUS, ON, number).practice.is_over


def test_the_wall_and_the_board_hear_that_something_changed_and_not_what(coach: Browser, foxes: Book) -> None:
    number = begun(foxes)

    async def heard(about: str) -> dict[str, object]:
        stream = coach.desk.live.listen(about)
        assert await anext(stream) == "retry: 1000\n\n"
        await asyncio.to_thread(moved, coach, number, _any_move(foxes, number))
        told = await anext(stream)
        found: dict[str, object] = json.loads(told.removeprefix("data: "))
        return found

    for about in (f"wall.{ON}", f"game.{number}"):
        told = asyncio.run(heard(about))
        assert (told["part"], told["html"]) == ("", "")


def _any_move(book: Book, number: int) -> str:
    return next(iter(seat_of(book, SYLLABUS, ON, number).practice.board.legal_moves)).uci()

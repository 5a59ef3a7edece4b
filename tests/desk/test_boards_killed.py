"""A desk that is killed in the middle of a game at a board: every move that was acknowledged is in the
book."""

import random
import re
import threading
import time
from datetime import date, timedelta
from pathlib import Path

import chess
import pytest
from httpx2 import Client, TransportError

from coachbook.club.book import Book
from coachbook.workflows.checking import check_book
from coachbook.workflows.planning import TermWish, plan_terms
from coachbook.workflows.playing_at_boards import seat_of
from tests.desk.serving import served
from tests.workflows.conftest import club_of
from tests.workflows.foxes import SYLLABUS

GAME = re.compile(r'/seat/game/(\d+)"? data-at="(\d+)"')


class Playing:
    """A board at which somebody plays by chance, and what was acknowledged: half moves by the number of the
    game."""

    def __init__(self, seed: int) -> None:
        self.chance = random.Random(seed)  # noqa: S311 - no secret
        self.acknowledged: dict[int, int] = {}

    def go_on(self, client: Client) -> None:
        """Until the desk is gone."""
        try:
            page = client.post("/seat/1/queen-box/1", follow_redirects=True).text
            while True:
                found = GAME.search(page)
                assert found, page
                number, at = int(found[1]), int(found[2])
                assert at >= self.acknowledged.get(number, 0)
                if 'id="ended"' in page:
                    page = client.post(f"/seat/game/{number}/again", follow_redirects=True).text
                    continue
                fen = re.search(r'data-fen="([^"]+)"', page)
                assert fen
                uci = self.chance.choice(list(chess.Board(fen[1]).legal_moves)).uci()
                form = {"at": str(at), "uci": uci}
                answer = client.post(f"/seat/game/{number}/move", data=form, headers={"x-part": "yes"})
                assert answer.status_code == 200, answer.text
                page = answer.text
                self.acknowledged[number] = at + 2
        except TransportError:
            return


def kill_again_and_again(book: Book, kills: int, seed: int) -> None:
    playing = Playing(seed)
    for _ in range(kills):
        with served(book.path) as desk, desk.browser() as client:
            hands = threading.Thread(target=playing.go_on, args=(client,))
            before = sum(playing.acknowledged.values())
            hands.start()
            while sum(playing.acknowledged.values()) == before and hands.is_alive():
                time.sleep(0.01)
            time.sleep(playing.chance.uniform(0, 0.3))
            desk.process.kill()
            hands.join()
    today = date.today()
    for number, half_moves in playing.acknowledged.items():
        seat = seat_of(book, SYLLABUS, today, number)
        assert len(seat.game.moves) >= half_moves - seat.practice.is_over
    assert not check_book(book, today, 24, lambda *_: None).findings


@pytest.fixture
def foxes(tmp_path: Path) -> Book:
    """Ana and Bo, with an evening today."""
    book, today = club_of(tmp_path, ("Ana", "Bo"), "Foxes", name="Hill Street"), date.today()
    wish = TermWish(today, today + timedelta(weeks=4), weekdays=(today.weekday(),), minutes=60)
    plan_terms(book, SYLLABUS, ("Foxes",), wish)
    return book


@pytest.mark.full
def test_a_kill_loses_no_move_that_a_board_was_told_is_kept(foxes: Book) -> None:
    kill_again_and_again(foxes, 2, seed=4)


@pytest.mark.long
def test_thirty_kills_lose_no_move(foxes: Book) -> None:
    kill_again_and_again(foxes, 30, seed=5)

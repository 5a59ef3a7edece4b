"""The desk as a coach starts it: on this machine alone; and no kill loses a touch, or counts it twice."""

import random
import threading
import time
from pathlib import Path
from uuid import uuid4

import pytest
from httpx2 import Client, TransportError

from coachbook.club.book import Book, open_book
from coachbook.club.touches import is_kept
from coachbook.workflows.checking import check_book
from coachbook.workflows.evening_grid import CellMark, evening_rows
from coachbook.workflows.evening_log import list_log
from tests.desk.serving import served, stop
from tests.workflows.foxes import START

BASE = f"/evening/{START}/1"
MARKS = {"right": CellMark.RIGHT, "wrong": CellMark.WRONG}


class Touching:
    """A browser that touches and touches, and knows which touches were acknowledged."""

    def __init__(self, book: Path, seed: int) -> None:
        self.chance = random.Random(seed)  # noqa: S311 - no secret
        self.sheet = evening_rows(open_book(book), 1, START)[0].sheet
        self.sent: list[tuple[str, str]] = []
        self.acknowledged: list[str] = []

    def go_on(self, client: Client) -> None:
        """Until the desk is gone: the touch that was not acknowledged again, then new ones."""
        try:
            while True:
                if len(self.sent) == len(self.acknowledged):
                    mark = "right" if len(self.sent) % 2 else "wrong"
                    self.sent.append((str(uuid4()), mark))
                touch, mark = self.sent[-1]
                form = {"touch": touch, "sheet": self.sheet, "item": "1", "mark": mark}
                answer = client.post(f"{BASE}/mark/1", data=form, headers={"x-part": "yes"})
                assert answer.status_code == 200, answer.text
                self.acknowledged.append(touch)
        except TransportError:
            return


def kill_again_and_again(book: Path, kills: int, seed: int) -> Touching:
    touching = Touching(book, seed)
    for _ in range(kills):
        with served(book) as desk, desk.browser() as client:
            hands = threading.Thread(target=touching.go_on, args=(client,))
            hands.start()
            time.sleep(touching.chance.uniform(0.05, 0.4))
            while not touching.acknowledged and hands.is_alive():
                time.sleep(0.01)
            desk.process.kill()
            hands.join()
    return touching


def check_nothing_lost(path: Path, touching: Touching) -> None:
    book = open_book(path)
    with book.reading() as tx:
        kept = [touch for touch, _ in touching.sent if is_kept(tx, touch)]
    assert set(touching.acknowledged) <= set(kept)
    assert len(list_log(book, len(touching.sent) + 10)) == len(kept) + 1  # and the plan
    last = dict(touching.sent)[kept[-1]]
    assert evening_rows(book, 1, START)[0].cells[0].mark is MARKS[last]
    assert not check_book(book, START, 24, lambda *_: None).findings


def test_the_desk_is_open_to_this_machine_alone_and_closes_at_once(foxes: Book) -> None:
    with served(foxes.path) as desk:
        assert desk.address.startswith("http://127.0.0.1:")
        with desk.browser() as client:
            assert client.get("/").status_code == 200
        assert "The desk is closed" in stop(desk)
        assert desk.process.returncode == 0


def test_nothing_of_what_is_asked_is_written_down(foxes: Book) -> None:
    with served(foxes.path) as desk:
        with desk.browser() as client:
            client.get(f"{BASE}/item/1/1")
            client.get("/nothing/here")
            client.post(f"{BASE}/mark/1", data={"touch": "no"})
        told = stop(desk)
    assert "/evening" not in told
    assert "Ana" not in told


@pytest.mark.full
def test_a_kill_loses_no_touch_that_was_acknowledged(foxes: Book) -> None:
    check_nothing_lost(foxes.path, kill_again_and_again(foxes.path, 2, 1))


@pytest.mark.long
def test_a_hundred_kills_lose_no_touch_and_count_none_twice(foxes: Book) -> None:
    touching = kill_again_and_again(foxes.path, 100, 2)
    assert len(touching.acknowledged) > 100
    check_nothing_lost(foxes.path, touching)

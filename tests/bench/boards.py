"""Measures boards in the room: `python -m tests.bench.boards`, on a quiet machine.

Thirty boards on two cores, each with a move a second for two minutes, by chance: how long until coachbook's
reply is there and the move in the book, while the coach looks at the wall (the endings' tables were read
before); and whether any move was lost. Prints a table and puts it into RESULTS.md, in a section of its own.
"""

import platform
import random
import re
import statistics
import tempfile
import threading
import time
from collections.abc import Iterator
from dataclasses import dataclass, field
from datetime import date, timedelta
from pathlib import Path

import chess
from httpx2 import Client

from coachbook.club.book import Book, create_book, open_book
from coachbook.club.students import add_group, add_student
from coachbook.workflows.planning import TermWish, plan_terms
from coachbook.workflows.playing_at_boards import seat_of
from coachbook.workflows.standings import load_syllabus
from tests.bench.desk_speed import percentile
from tests.bench.endgame import Row, as_markdown, put_section
from tests.desk.serving import Served, served

TITLE = "# Speed of boards in the room"
BOARDS, SECONDS = 30, 120
CARDS = ("queen-box/1", "rook-box/1", "two-majors/2", "king-and-pawn/1", "hold-the-pawn/1", "pawn-race/1")
_FEN = re.compile(r'data-fen="([^"]+)"')


@dataclass
class Board:
    """A browser at a board, and the games that it has played: by number, the moves that were acknowledged."""

    client: Client
    student: int
    chance: random.Random
    waited: list[float] = field(default_factory=list)
    games: dict[int, int] = field(default_factory=dict)

    def play_until(self, end: float) -> None:
        """A move every second; a new game when one is over."""
        number = 0
        while (begun := time.perf_counter()) < end:
            if not number:
                number = self.begin(CARDS[(self.student + len(self.games)) % len(CARDS)])
            else:
                page = self.client.get(f"/seat/game/{number}", headers={"x-part": "yes"})
                page.raise_for_status()
                number = self.move(number, page.text)
            time.sleep(max(0.0, 1 - (time.perf_counter() - begun)))

    def begin(self, card: str) -> int:
        """Begins a game and makes the first move: the number of the game, 0 once it is over."""
        page = self.client.post(f"/seat/{self.student}/{card}")
        page.raise_for_status()
        return self.move(int(page.url.path.rpartition("/")[2]), page.text)

    def move(self, number: int, page: str) -> int:
        """Makes a move by chance: the number of the game, 0 once it is over."""
        found = _FEN.search(page)
        at = re.search(r'data-at="(\d+)"', page)
        assert found
        assert at
        moves = list(chess.Board(found[1]).legal_moves)
        form = {"at": at[1], "uci": self.chance.choice(moves).uci()}
        begun = time.perf_counter()
        answer = self.client.post(f"/seat/game/{number}/move", data=form, headers={"x-part": "yes"})
        self.waited.append(time.perf_counter() - begun)
        answer.raise_for_status()
        kept = re.search(r'data-at="(\d+)"', answer.text)
        assert kept
        self.games[number] = int(kept[1])
        return 0 if 'id="ended"' in answer.text else number


def club(folder: Path) -> Book:
    """Thirty students, with an evening today."""
    book, today = create_book(folder / "club.book", "Boards"), date.today()
    with book.writing() as tx:
        add_group(tx, "Foxes")
        for number in range(1, BOARDS + 1):
            add_student(tx, f"Student {number:02}", ("Foxes",))
    wish = TermWish(today, today + timedelta(weeks=5), weekdays=(today.weekday(),), minutes=60)
    plan_terms(book, load_syllabus(), ("Foxes",), wish)
    return book


def play(desk: Served, client: Client) -> list[Board]:
    """All boards at once, and the wall, as the coach's page asks for it."""
    boards = [
        Board(browser, number, random.Random(number))  # noqa: S311 - no secret
        for number, browser in enumerate(desk.boards(client, BOARDS), start=1)
    ]
    for board, card in zip(boards, CARDS, strict=False):
        board.begin(card)
        board.waited.clear()
    end = time.perf_counter() + SECONDS
    threads = [threading.Thread(target=board.play_until, args=(end,)) for board in boards]
    for thread in threads:
        thread.start()
        time.sleep(1 / BOARDS)
    while time.perf_counter() < end:
        client.get("/wall", headers={"x-part": "yes"}).raise_for_status()
        time.sleep(1.5)
    for thread in threads:
        thread.join()
    return boards


def results(book: Book, boards: list[Board]) -> Iterator[Row]:
    """Waits, and what the book has of each game."""
    waited = [each for board in boards for each in board.waited]
    lost = 0
    syllabus = load_syllabus()
    for board in boards:
        for number, acknowledged in board.games.items():
            kept = len(seat_of(book, syllabus, date.today(), number).game.moves)
            lost += max(acknowledged - kept, 0)
    yield "moves", f"{len(waited)}", f"{lost} half moves lost"
    yield (
        "until the reply",
        f"{1000 * statistics.median(waited):.0f} ms",
        f"{percentile(waited, 0.99):.0f} ms",
    )


def main() -> None:
    with tempfile.TemporaryDirectory() as folder:
        book = club(Path(folder))
        with served(book.path, room=True) as desk, desk.browser() as client:
            found = list(results(open_book(book.path), play(desk, client)))
    told = [
        f"{TITLE}\n",
        f"Python {platform.python_version()}, {platform.machine()}; {BOARDS} boards, a move a second each,"
        f" {SECONDS} s, with the wall open.\n",
        as_markdown(("", "median or count", "99 of 100"), found),
    ]
    print("\n".join(told))  # noqa: T201 - a table to read
    put_section(TITLE, "\n".join(told))


if __name__ == "__main__":
    main()

"""A whole evening with twelve boards, through the real server and real browsers: the book is the same as if
it had been typed in."""

import shutil
from collections.abc import Iterator
from dataclasses import replace
from datetime import date, timedelta
from pathlib import Path

import chess
import pytest
from playwright.sync_api import Browser, BrowserContext, Page, expect

from coachbook.club.book import Book, open_book
from coachbook.club.results import attendance, play_outs
from coachbook.workflows.planning import TermWish, plan_terms
from tests.cli.drive import done
from tests.desk.browser.test_board import square
from tests.desk.serving import served
from tests.workflows.conftest import club_of
from tests.workflows.foxes import SYLLABUS
from tests.workflows.test_practice import perfect

pytestmark = pytest.mark.full

NAMES = ("Ana", "Bo", "Cai", "Dana", "Eli", "Fay", "Gil", "Hana", "Ira", "Jo", "Kim", "Lou")
TODAY = date.today()


@pytest.fixture
def foxes(tmp_path: Path) -> Book:
    """Twelve students, who have learnt their first ending a week ago."""
    book = club_of(tmp_path, NAMES, "Foxes", name="Hill Street")
    wish = TermWish(
        TODAY - timedelta(weeks=1), TODAY + timedelta(weeks=4), weekdays=(TODAY.weekday(),), minutes=60
    )
    plan_terms(book, SYLLABUS, ("Foxes",), wish)
    return book


def said(book: Book) -> list[list[str]]:
    """Who was there and what was played, but by which way it came."""
    with book.reading() as tx:
        played = [replace(each, against_coachbook=False, clocks=()) for each in play_outs(tx)]
        return [sorted(map(str, each)) for each in (attendance(tx), played)]


def boards(chromium: Browser, coach: Page, address: str) -> Iterator[Page]:
    """A tablet for each student, let in with the code on the coach's page, in the student's game."""
    coach.goto(f"{address}/room")
    coach.get_by_role("button", name="A code for boards").click()
    link = coach.locator(".link").inner_text()
    for name in NAMES:
        page = chromium.new_context(viewport={"width": 820, "height": 1100}, has_touch=True).new_page()
        page.goto(link)
        page.get_by_role("link", name=name, exact=True).tap()
        page.get_by_role("button", name="Play it").last.tap()
        page.wait_for_url("**/seat/game/*")
        yield page


def move(page: Page) -> bool:
    """The best move, by two touches; False once the game is over."""
    if page.locator("#ended").count():
        return False
    fen = page.locator(".squares").get_attribute("data-fen")
    assert fen is not None
    uci = perfect(chess.Board(fen))
    count = page.get_by_text("Your moves:").text_content()
    assert count is not None
    square(page, uci[:2]).tap()
    square(page, uci[2:4]).tap()
    expect(page.get_by_text(count, exact=True)).to_have_count(0)
    return True


@pytest.mark.long
def test_an_evening_with_twelve_boards_leaves_the_book_that_typing_it_leaves(
    chromium: Browser, foxes: Book, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    other = tmp_path / "other.book"
    shutil.copy(foxes.path, other)
    with served(foxes.path, room=True) as desk:
        context: BrowserContext = chromium.new_context(viewport={"width": 1440, "height": 900})
        coach = context.new_page()
        coach.goto(desk.link)
        coach.get_by_role("button", name="All are here").click()
        pages = list(boards(chromium, coach, desk.address))
        coach.goto(f"{desk.address}/wall")
        expect(coach.locator(".at-board")).to_have_count(len(NAMES))
        while any([move(page) for page in pages]):  # noqa: C419 - everybody moves
            pass
        expect(coach.get_by_text("done: checkmate: you have won.")).to_have_count(len(NAMES))
        for page in pages:
            page.context.close()
        context.close()
    with foxes.reading() as tx:
        played = play_outs(tx)
    assert sorted(each.student for each in played) == list(NAMES)
    monkeypatch.setenv("COACHBOOK_BOOK", str(other))
    done("log", "attendance", "--group", "Foxes", *NAMES, "--date", str(TODAY), "--yes")
    for each in played:
        board = chess.Board(each.fen)
        line = board.variation_san([chess.Move.from_uci(uci) for uci in each.moves])
        done("log", "playout", each.student, each.card, line, "--date", str(TODAY))
    assert said(open_book(other)) == said(foxes)

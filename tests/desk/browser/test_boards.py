"""Boards in the room in a real browser: by touch, by mouse, by keyboard; through a break of the network and
of the desk; with the coach stepping in from the wall."""

import re
from collections.abc import Iterator
from itertools import count

import pytest
from playwright.sync_api import Page, expect

from coachbook.club.book import open_book
from coachbook.club.results import play_outs
from coachbook.desk.asked import Desk
from coachbook.workflows.playing_at_boards import Seat, seat_of
from tests.desk.browser.conftest import Opener, Window, violations
from tests.desk.browser.test_board import square
from tests.desk.browser.test_play import check_says_what_to_do
from tests.workflows.foxes import START, SYLLABUS
from tests.workflows.test_practice import perfect

pytestmark = pytest.mark.full

CARD = "/seat/1/queen-box/1"


def seat_at(desk: Desk, page: Page) -> Seat:
    """The game that a page shows, as it stands in the book."""
    assert desk.book is not None
    number = int(page.url.rpartition("/")[2])
    return seat_of(open_book(desk.book), SYLLABUS, START, number)


@pytest.fixture
def game(opened: Opener) -> Iterator[Window]:
    """A tablet as a board, in Ana's game; it is over in the end."""
    window = opened(820, touch=True)
    begin(window)
    yield window


def begin(window: Window, card: str = CARD) -> Page:
    """A new game, of the first play-out of the queen's box unless told otherwise."""
    address = window.desk.address
    answer = window.context.request.post(f"{address}{card}", headers={"origin": address})
    return window.open(answer.url.removeprefix(address))


def make(page: Page, uci: str) -> None:
    square(page, uci[:2]).click()
    square(page, uci[2:4]).click()


def counted(page: Page, number: int) -> None:
    expect(page.get_by_text(f"Your moves: {number} of 16.")).to_be_visible()


def stop(window: Window, page: Page) -> None:
    """The coach stops the game, so that the next test has a new one."""
    address = window.desk.address
    path = f"{address}/wall/{page.url.rpartition('/')[2]}/stop"
    assert window.context.request.post(path, headers={"origin": address}).ok
    expect(page.locator("#ended")).to_be_visible()


def test_a_whole_game_is_played_by_touch_and_is_in_the_log(game: Window) -> None:
    page = game.page
    for number in range(1, 17):
        check_says_what_to_do(page)
        uci = perfect(seat_at(game.desk, page).practice.board)
        square(page, uci[:2]).tap()
        square(page, uci[2:4]).tap()
        counted(page, number)
        if page.locator("#ended").count():
            break
    expect(page.locator("#ended")).to_have_text("Checkmate: you have won.")
    expect(page.locator("#ended")).to_be_focused()
    assert game.desk.book is not None
    with open_book(game.desk.book).reading() as tx:
        assert [each.against_coachbook for each in play_outs(tx)][-1:] == [True]
    page.get_by_role("button", name="Again").tap()
    counted(page, 0)
    stop(game, page)


@pytest.mark.long
@pytest.mark.with_five_men
@pytest.mark.parametrize(
    ("unit", "ended"),
    [
        ("cutting-off", "Checkmate: you have won."),
        ("bridge", "Checkmate: you have won."),
        ("checks", "a draw."),
    ],
)
def test_a_rook_ending_is_played_against_the_exact_defence(opened: Opener, unit: str, ended: str) -> None:
    window = opened(820, touch=True)
    page = begin(window, f"/seat/1/{unit}/1")
    for number in count(1):
        uci = perfect(seat_at(window.desk, page).practice.board)
        make(page, uci)
        if uci.endswith("q"):
            page.get_by_role("button", name="queen").click()
        expect(page.get_by_text(f"Your moves: {number} of")).to_be_visible()
        if page.locator("#ended").count():
            break
    expect(page.locator("#ended")).to_contain_text(ended)


def test_a_move_is_made_by_the_keyboard_and_the_reply_is_told(game: Window) -> None:
    page = game.page
    square(page, "c1").focus()
    page.keyboard.press("Enter")
    for _ in range(4):
        page.keyboard.press("ArrowUp")
    page.keyboard.press("Enter")
    expect(page.locator("#happened")).to_contain_text("coachbook answers")
    expect(square(page, "c5")).to_be_focused()
    stop(game, page)


def test_when_the_network_is_gone_the_move_waits_and_the_game_goes_on(game: Window) -> None:
    page = game.page
    game.context.set_offline(True)
    make(page, "c1c5")
    expect(page.locator("#told")).to_contain_text("Wait: your move goes out again by itself.")
    assert seat_at(game.desk, page).game.moves == ()
    game.context.set_offline(False)
    counted(page, 1)
    assert len(seat_at(game.desk, page).game.moves) == 2
    game.complaints.clear()  # the browser's own word for what it could not reach
    stop(game, page)


def test_a_reloaded_board_has_the_game_where_it_was(game: Window) -> None:
    page = game.page
    make(page, "c1c5")
    counted(page, 1)
    page.reload()
    counted(page, 1)
    stop(game, page)


def test_the_coach_takes_a_move_back_and_gives_another_position_and_the_board_follows(
    game: Window,
) -> None:
    page = game.page
    make(page, "c1c5")
    counted(page, 1)
    wall = game.context.new_page()
    wall.goto(f"{game.desk.address}/wall")
    expect(wall.get_by_text("1 of 16 moves").first).to_be_visible()
    wall.goto(f"{game.desk.address}/wall/{page.url.rpartition('/')[2]}")
    wall.get_by_role("button", name="Take the last move back").click()
    counted(page, 0)
    make(page, "c1c5")
    counted(page, 1)
    wall.get_by_label("Another position").select_option("two-majors.1")
    wall.get_by_role("button", name="Give it").click()
    expect(page.get_by_text("Your moves: 0 of 15.")).to_be_visible()
    stop(game, page)


def test_the_wall_shows_a_move_at_once(opened: Opener, game: Window) -> None:
    wall = opened(1440).open("/wall")
    expect(wall.get_by_text("0 of 16 moves").first).to_be_visible()
    make(game.page, "c1c5")
    expect(wall.get_by_text("1 of 16 moves").first).to_be_visible()
    stop(game, game.page)


def test_axe_finds_nothing_wrong_with_boards_and_wall(opened: Opener, game: Window) -> None:
    number = game.page.url.rpartition("/")[2]
    make(game.page, "c1c5")
    counted(game.page, 1)
    window = opened()
    for path in ("/seat", "/seat/1", f"/seat/game/{number}", "/wall", f"/wall/{number}", "/room"):
        assert violations(window.open(path)) == [], path
    stop(game, game.page)
    page = window.open(f"/wall/{number}")
    through = page.get_by_role("link", name="Play it through").get_attribute("href")
    assert through is not None
    for path in (f"/seat/game/{number}", f"/wall/{number}", through, re.sub("0$", "1", through)):
        assert violations(window.open(path)) == [], path


def test_the_class_is_asked_on_a_full_screen(window: Window) -> None:
    page = window.open("/syllabus/queen-walls/show/1/0")
    page.get_by_role("link", name="What would you play?").click()
    expect(page.get_by_text("What would you play for White?")).to_be_visible()
    make(page, "c2g6")
    expect(page.get_by_text("The box keeps its 30 squares.")).to_be_visible()
    page.get_by_role("link", name="Try another move").click()
    expect(page.get_by_text("What would you play for White?")).to_be_visible()
    make(page, "c2d3")
    expect(page.get_by_text("This is the lesson's move.")).to_be_visible()
    page.keyboard.press("ArrowRight")
    expect(page.get_by_role("heading", level=2).first).to_have_text(re.compile("^1. .d3$"))

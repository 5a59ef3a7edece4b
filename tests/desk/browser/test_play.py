"""A game against coachbook in a real browser: by touch, by keyboard, and through a break of the desk."""

from urllib.parse import parse_qs, urlsplit

import pytest
from playwright.sync_api import Page, expect

from coachbook.workflows.practice import Practice, practice_of
from tests.desk.browser.conftest import Opener, Window, violations
from tests.desk.browser.test_board import square, stands
from tests.workflows.foxes import SYLLABUS
from tests.workflows.test_practice import perfect

pytestmark = pytest.mark.full

BOX = "/play/queen-box/1"
MOST_WORDS = 9


def game_of(page: Page) -> Practice:
    """The game that stands in the page's address."""
    asked = urlsplit(page.url)
    _, _, unit, number = asked.path.split("/")
    query = parse_qs(asked.query)
    moves = query.get("moves", [""])[0].split(".")
    return practice_of(
        SYLLABUS, unit, int(number), int(query["seed"][0]), moves=[each for each in moves if each]
    )


def check_says_what_to_do(page: Page) -> None:
    now = page.locator(".now")
    expect(now).to_be_in_viewport()
    assert 0 < len((now.text_content() or "").split()) <= MOST_WORDS


def test_a_whole_mate_is_played_with_two_touches_a_move(opened: Opener) -> None:
    page = opened(360, touch=True).open(BOX)
    for number in range(1, 17):
        check_says_what_to_do(page)
        uci = perfect(game_of(page).board)
        square(page, uci[:2]).tap()
        square(page, uci[2:4]).tap()
        expect(page.get_by_text(f"Your moves: {number} of 16.")).to_be_visible()
        if page.locator("#ended").count():
            break
    expect(page.get_by_role("heading", level=2).first).to_have_text("Checkmate: you have won.")
    expect(page.locator("#ended")).to_be_focused()
    assert len((page.locator(".now").text_content() or "").split()) <= MOST_WORDS
    expect(page.get_by_text("Nobody can mate faster from there.")).to_be_visible()
    page.get_by_role("link", name="Again").tap()
    expect(page.get_by_text("Your moves: 0 of 16.")).to_be_visible()
    stands(page, "h1", "white king")  # the mirror of a1


def test_a_move_is_made_by_the_keyboard_and_the_answer_is_heard(window: Window) -> None:
    page = window.open(f"{BOX}?seed=3")
    square(page, "c1").focus()
    page.keyboard.press("Enter")
    for _ in range(4):
        page.keyboard.press("ArrowUp")
    page.keyboard.press("Enter")
    stands(page, "c5", "white queen")
    expect(page.locator("#happened")).to_contain_text("coachbook answers")
    expect(square(page, "c5")).to_be_focused()


def test_the_game_is_where_it_was_after_a_reload(window: Window) -> None:
    page = window.open(f"{BOX}?seed=3")
    square(page, "c1").click()
    square(page, "g5").click()
    expect(page.get_by_text("Your moves: 1 of 16.")).to_be_visible()
    page.reload()
    expect(page.get_by_text("Your moves: 1 of 16.")).to_be_visible()
    stands(page, "g5", "white queen")
    page.go_back()  # one page, however many moves: a move is not taken back
    assert BOX not in page.url


def test_where_the_desk_does_not_answer_the_move_is_made_again(window: Window) -> None:
    page = window.open(f"{BOX}?seed=3")
    page.route("**/play/**", lambda route: route.abort())
    square(page, "c1").click()
    square(page, "g5").click()
    expect(page.locator("#told")).to_contain_text("Make your move again.")
    stands(page, "c1", "white queen")
    page.unroute("**/play/**")
    window.complaints.clear()  # the browser's own word for what it could not reach
    square(page, "c1").click()
    square(page, "g5").click()
    expect(page.get_by_text("Your moves: 1 of 16.")).to_be_visible()


def test_who_has_black_sees_the_board_from_there(window: Window) -> None:
    page = window.open("/play/hold-the-pawn/1?seed=5&moves=d6e6.d4c5")
    near, far = (square(page, name).bounding_box() for name in ("e8", "e1"))
    assert near is not None
    assert far is not None
    assert near["y"] > far["y"]
    arrow, king = page.locator(".marks polygon").last.bounding_box(), square(page, "c5").bounding_box()
    assert arrow is not None
    assert king is not None
    assert (
        abs(arrow["x"] + arrow["width"] - king["x"]) < king["width"]
    )  # it comes from the left, and ends there
    assert king["y"] > arrow["y"]


def test_axe_finds_nothing_wrong_with_a_game_that_is_over(window: Window) -> None:
    lost = "d6e6.d4c5.e6f7.c5d6.f7f8.d6d7.f8f7.e4e5.f7g6.e5e6.g6f5.e6e7.f5e4"
    page = window.open(f"/play/hold-the-pawn/1?seed=5&moves={lost}&stop=yes")
    page.get_by_text("Keep it for a student").click()
    assert violations(page) == []

"""The board's page in a browser: positions are set up and played on, and a full screen stays one."""

from urllib.parse import urlencode

import pytest
from playwright.sync_api import Page, expect

from tests.desk.browser.conftest import Window
from tests.desk.browser.test_board import drag, square, stands

pytestmark = pytest.mark.full

QUEEN = "8/8/8/4k3/8/8/2Q5/K7 w - - 0 1"


def looked_at(window: Window, **asked: object) -> Page:
    return window.open(f"/board?{urlencode({'fen': QUEEN, **asked})}")


def test_a_position_is_set_up_by_moving_men(window: Window) -> None:
    page = window.open("/board")
    drag(page, "d1", "c2")
    drag(page, "e1", "a1")
    drag(page, "e8", "e5")
    page.get_by_label("Black", exact=True).check()
    expect(page.get_by_label("The position in FEN")).to_have_value("8/8/8/4k3/8/8/2Q5/K7 b - - 0 1")
    page.get_by_role("button", name="Look at it").first.click()
    expect(page.get_by_role("heading", level=1)).to_have_text("King and queen against king, Black to move")


def test_a_position_that_is_typed_stands_on_the_board(window: Window) -> None:
    page = window.open("/board")
    field = page.get_by_label("The position in FEN")
    field.fill("8/8/8/4k3/8/8/2R5/K7 b")
    field.blur()
    stands(page, "c2", "white rook")
    expect(page.get_by_label("Black", exact=True)).to_be_checked()
    drag(page, "c2", "c3")
    expect(field).to_have_value("8/8/8/4k3/8/2R5/8/K7 b - - 0 1")


def test_answers_are_hidden_until_asked_for_and_again_after_a_move(window: Window) -> None:
    page = looked_at(window)
    verdict = page.get_by_text("White mates in 9.", exact=True)
    expect(verdict).to_be_hidden()
    page.get_by_text("Show who wins").click()
    expect(verdict).to_be_visible()
    drag(page, "c2", "c4")
    expect(page.get_by_role("heading", level=1)).to_have_text("King and queen against king, Black to move")
    assert "%2F2Q5%2F8%2F8%2FK7%20b" in page.url
    expect(page.locator("details[open]")).to_have_count(0)


def test_the_list_of_moves_stays_open_while_one_goes_through_it(window: Window) -> None:
    page = looked_at(window)
    page.get_by_text("Show the moves").click()
    page.get_by_role("link", name="♔b2").click()
    stands(page, "b2", "white king")
    expect(page.locator("#worth")).to_have_attribute("open", "")
    page.go_back()
    stands(page, "a1", "white king")


def test_a_plan_is_asked_for_and_stepped_through_by_the_keyboard(window: Window) -> None:
    page = looked_at(window)
    page.get_by_text("Show the plan").focus()
    page.keyboard.press("Enter")
    step = page.get_by_role("link", name="Next")
    expect(page.locator(".said b").last).to_have_text("♕c4")
    step.focus()
    page.keyboard.press("Enter")
    stands(page, "c4", "white queen")
    expect(step).to_be_focused()
    page.keyboard.press("Enter")
    stands(page, "d6", "black king")
    page.get_by_role("link", name="Back").click()
    stands(page, "e5", "black king")


def test_a_reply_is_chosen_by_moving_the_king(window: Window) -> None:
    page = looked_at(window, step=1)
    drag(page, "e5", "f5")
    expect(page.locator("#plan")).to_have_attribute("open", "")
    expect(page.locator(".said").last).to_contain_text("2. ")
    assert page.url.endswith("step=2&replies=e5f5")


def test_a_full_screen_stays_while_moves_are_made_and_the_plan_goes_on(window: Window) -> None:
    page = looked_at(window, step=0)
    page.get_by_role("button", name="Full screen").click()
    expect(page.locator("html.projected")).to_have_count(1)
    expect(page.get_by_role("navigation", name="Pages")).to_be_hidden()
    page.get_by_role("link", name="Next").click()
    stands(page, "c4", "white queen")
    square(page, "e5").click()
    square(page, "d6").click()
    stands(page, "d6", "black king")
    assert page.evaluate("document.fullscreenElement !== null")
    page.get_by_role("button", name="Leave the full screen").click()
    expect(page.locator("html.projected")).to_have_count(0)


def test_on_a_projector_the_board_fills_the_height_and_no_more(window: Window) -> None:
    page = looked_at(window, step=0)
    page.set_viewport_size({"width": 1920, "height": 1080})
    page.get_by_role("button", name="Full screen").click()
    expect(page.locator("html.projected")).to_have_count(1)
    box = page.locator(".ranks").bounding_box()
    assert box is not None
    assert box["height"] > 0.8 * 1080
    assert box["y"] + box["height"] <= 1080


def test_a_move_that_cannot_be_read_is_told_and_nothing_changes(window: Window) -> None:
    page = looked_at(window)
    page.get_by_label("Or write a move").fill("Kd9")
    page.get_by_role("button", name="Make it").click()
    expect(page.locator("#told")).to_contain_text("'Kd9' is no legal move here.")
    window.complaints.clear()  # the browser's own word for an answer that refuses
    page.get_by_label("Or write a move").fill("Qe2")
    page.get_by_role("button", name="Make it").click()
    stands(page, "e2", "white queen")

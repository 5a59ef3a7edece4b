"""The board on which men are moved, in a real browser: by mouse, by touch and by keyboard."""

from urllib.parse import quote

import pytest
from playwright.sync_api import CDPSession, Locator, Page, expect

from tests.desk.browser.conftest import Opener, Window, violations

pytestmark = pytest.mark.full

START = "rnbqkbnr/pppppppp/8/8/8/8/PPPPPPPP/RNBQKBNR w KQkq - 0 1"
QUEEN = "8/8/4k3/8/3Q4/8/8/K7 w - - 0 1"
PAWN = "8/1P5k/8/8/8/8/8/K7 w - - 0 1"
MATED = "k7/1Q6/1K6/8/8/8/8/8 b - - 0 1"
KINGS = "4k3/8/8/8/8/8/8/4K3 w - - 0 1"
MAKE = """async (options) => {
  const { makeBoard } = await import("/static/board.js");
  window.made = [];
  window.shown = [];
  window.board = makeBoard(document.querySelector(".squares"), {
    onMove: (...move) => window.made.push(move), onChange: (fen) => window.shown.push(fen), ...options,
  });
}"""


def on_board(window: Window, fen: str, mode: str = "moves", **options: object) -> Page:
    page = window.open(f"/trial?mode={mode}&fen={quote(fen)}")
    page.evaluate(MAKE, options)
    return page


def square(page: Page, name: str) -> Locator:
    return page.locator(f"[data-square={name}]")


def at(page: Page, name: str) -> tuple[float, float]:
    """The middle of a square, in pixels of the window."""
    box = square(page, name).bounding_box()
    assert box is not None
    return box["x"] + box["width"] / 2, box["y"] + box["height"] / 2


def drag(page: Page, start: str, end: str) -> None:
    page.mouse.move(*at(page, start))
    page.mouse.down()
    page.mouse.move(*at(page, end), steps=4)
    page.mouse.up()


def touch(fingers: CDPSession, kind: str, *points: tuple[float, float]) -> None:
    sent = [{"x": x, "y": y} for x, y in points]
    fingers.send("Input.dispatchTouchEvent", {"type": kind, "touchPoints": sent})


def stands(page: Page, name: str, man: str) -> None:
    told = f"{name}, {man}" if man else name
    expect(square(page, name)).to_have_attribute("aria-label", told)


def made(page: Page) -> list[list[str]]:
    found: list[list[str]] = page.evaluate("window.made")
    return found


def test_a_man_is_moved_by_dragging_it_with_the_mouse(window: Window) -> None:
    page = on_board(window, START)
    drag(page, "g1", "f3")
    stands(page, "f3", "white knight")
    stands(page, "g1", "")
    after = "rnbqkbnr/pppppppp/8/8/8/5N2/PPPPPPPP/RNBQKB1R b KQkq - 1 1"
    assert made(page) == [["g1f3", "Nf3", after, "♘f3"]]


def test_a_man_is_moved_by_two_clicks(window: Window) -> None:
    page = on_board(window, START)
    square(page, "e2").click()
    expect(square(page, "e2")).to_have_attribute("aria-pressed", "true")
    square(page, "e4").click()
    stands(page, "e4", "white pawn")


def test_a_man_is_moved_by_two_touches(opened: Opener) -> None:
    page = on_board(opened(360, touch=True), START)
    square(page, "e2").tap()
    square(page, "e4").tap()
    stands(page, "e4", "white pawn")


def test_a_man_is_moved_by_dragging_it_with_a_finger(opened: Opener) -> None:
    window = opened(360, touch=True)
    page = on_board(window, START)
    (x1, y1), (x2, y2) = at(page, "b1"), at(page, "c3")
    fingers = window.context.new_cdp_session(page)
    touch(fingers, "touchStart", (x1, y1))
    for part in (0.3, 0.6, 1.0):
        touch(fingers, "touchMove", (x1 + part * (x2 - x1), y1 + part * (y2 - y1)))
    touch(fingers, "touchEnd")
    stands(page, "c3", "white knight")


def test_a_man_is_moved_by_the_keyboard_alone(window: Window) -> None:
    page = on_board(window, QUEEN)
    page.keyboard.press("Tab")
    while page.evaluate("!document.activeElement.dataset.square"):
        page.keyboard.press("Tab")
    for key in (*["ArrowDown"] * 4, *["ArrowRight"] * 3, "Enter", "ArrowRight", "Space"):
        page.keyboard.press(key)
    stands(page, "e4", "white queen")
    assert [move[0] for move in made(page)] == ["d4e4"]


def test_one_square_is_reached_by_tab_and_the_arrows_stop_at_the_edge(window: Window) -> None:
    page = on_board(window, QUEEN)
    square(page, "h1").focus()
    for key in ("ArrowRight", "ArrowDown"):
        page.keyboard.press(key)
    expect(square(page, "h1")).to_be_focused()
    page.keyboard.press("Home")
    expect(square(page, "a1")).to_be_focused()
    expect(page.locator("[data-square][tabindex='0']")).to_have_count(1)


def test_escape_lets_a_man_go(window: Window) -> None:
    page = on_board(window, QUEEN)
    square(page, "d4").click()
    page.keyboard.press("Escape")
    square(page, "e4").click()
    stands(page, "d4", "white queen")
    assert made(page) == []


def test_a_move_that_the_rules_forbid_is_refused_and_told(window: Window) -> None:
    page = on_board(window, QUEEN)
    drag(page, "d4", "e6")
    expect(page.locator("#told")).to_have_text("The queen may not go from d4 to e6.")
    stands(page, "d4", "white queen")
    assert made(page) == []


def test_the_other_sides_men_are_not_moved(window: Window) -> None:
    page = on_board(window, QUEEN)
    drag(page, "e6", "e7")
    expect(page.locator("#told")).to_have_text("White is to move.")
    stands(page, "e6", "black king")


def test_another_man_of_the_same_side_is_taken_up_instead(window: Window) -> None:
    page = on_board(window, QUEEN)
    for name in ("a1", "d4", "d5"):
        square(page, name).click()
    expect(page.locator("#told")).to_have_text("")
    expect(square(page, "d5")).to_have_attribute("aria-label", "d5, white queen")


def test_when_the_game_is_over_a_move_is_told_so(window: Window) -> None:
    page = on_board(window, MATED)
    drag(page, "a8", "b7")
    expect(page.locator("#told")).to_have_text("The game is over: checkmate.")


@pytest.mark.parametrize(("man", "told"), [("queen", "♕"), ("rook", "♖"), ("bishop", "♗"), ("knight", "♘")])
def test_a_pawn_becomes_the_man_that_is_asked_for(window: Window, man: str, told: str) -> None:
    page = on_board(window, PAWN)
    drag(page, "b7", "b8")
    page.get_by_role("group", name="The pawn becomes").get_by_role("button", name=man).click()
    stands(page, "b8", f"white {man}")
    assert made(page)[0][3].startswith(f"b8={told}")


def test_a_promotion_may_be_taken_back(window: Window) -> None:
    page = on_board(window, PAWN)
    square(page, "b7").click()
    square(page, "b8").click()
    expect(page.get_by_role("button", name="queen")).to_be_focused()
    page.keyboard.press("Escape")
    expect(page.get_by_role("group", name="The pawn becomes")).to_be_hidden()
    stands(page, "b7", "white pawn")
    assert made(page) == []


def test_moves_are_taken_back_one_by_one(window: Window) -> None:
    page = on_board(window, QUEEN)
    drag(page, "d4", "d5")
    stands(page, "d5", "white queen")
    drag(page, "e6", "d5")
    stands(page, "d5", "black king")
    assert page.evaluate("board.undo()").split()[1] == "b"
    stands(page, "d5", "white queen")
    assert page.evaluate("board.undo()") == QUEEN
    assert page.evaluate("board.undo()") is None


def test_a_position_that_is_set_is_the_one_that_is_played_on(window: Window) -> None:
    page = on_board(window, QUEEN)
    page.evaluate("(fen) => board.setPosition(fen)", PAWN)
    drag(page, "a1", "b2")
    stands(page, "b2", "white king")
    assert page.evaluate("board.fen").startswith("8/1P5k/")


def test_a_board_that_is_only_shown_moves_no_man(window: Window) -> None:
    page = on_board(window, QUEEN, "show")
    drag(page, "d4", "d5")
    stands(page, "d4", "white queen")


def test_men_are_put_on_moved_and_taken_off_where_a_position_is_set_up(window: Window) -> None:
    page = on_board(window, KINGS, "free")
    page.get_by_role("button", name="white queen").click()
    square(page, "d4").click()
    stands(page, "d4", "white queen")
    drag(page, "d4", "h5")
    stands(page, "h5", "white queen")
    square(page, "h5").click()
    page.get_by_role("button", name="Take it off").click()
    stands(page, "h5", "")
    rows = [fen.split()[0] for fen in page.evaluate("shown")]
    assert rows == ["4k3/8/8/8/3Q4/8/8/4K3", "4k3/8/8/7Q/8/8/8/4K3", "4k3/8/8/8/8/8/8/4K3"]


def test_a_man_is_taken_off_by_dragging_it_away_or_with_a_key(window: Window) -> None:
    page = on_board(window, QUEEN.replace("K7", "KR6"), "free")
    page.mouse.move(*at(page, "d4"))
    page.mouse.down()
    page.mouse.move(5, 5, steps=4)
    page.mouse.up()
    stands(page, "d4", "")
    square(page, "b1").focus()
    page.keyboard.press("Delete")
    stands(page, "b1", "")


def test_a_second_king_takes_the_place_of_the_first(window: Window) -> None:
    page = on_board(window, KINGS, "free")
    page.get_by_role("button", name="white king").last.click()
    square(page, "a2").click()
    stands(page, "a2", "white king")
    stands(page, "e1", "")


def test_who_is_to_move_is_kept_while_men_are_moved(window: Window) -> None:
    page = on_board(window, KINGS, "free")
    page.evaluate("board.setSide('b')")
    drag(page, "e1", "e2")
    assert page.evaluate("board.fen") == "4k3/8/8/8/8/8/4K3/8 b - - 0 1"


def test_the_board_is_turned_for_black(window: Window) -> None:
    page = on_board(window, START, orientation="black")
    assert page.locator("[data-square]").first.get_attribute("data-square") == "h1"
    assert page.locator(".files").inner_text().split() == [*"hgfedcba"]
    drag(page, "e2", "e4")
    stands(page, "e4", "white pawn")


def test_every_square_is_large_enough_for_a_finger_on_a_telephone(opened: Opener) -> None:
    page = on_board(opened(360), START)
    boxes = [each.bounding_box() for each in page.locator("[data-square]").all()]
    sides = [(box["width"], box["height"]) for box in boxes if box]
    assert len(sides) == 64
    assert all(width >= 40 and width == pytest.approx(height) for width, height in sides)
    assert page.evaluate("document.documentElement.scrollWidth <= innerWidth")


def test_without_a_script_there_is_a_board_to_look_at(window: Window) -> None:
    page = window.open(f"/trial?mode=moves&fen={quote(QUEEN)}")
    told = "White: king a1, queen d4. Black: king e6. White to move."
    expect(page.get_by_role("img", name=told)).to_be_visible()
    expect(page.get_by_role("grid", name="Board")).to_be_hidden()


def test_axe_finds_nothing_wrong_with_a_board(window: Window) -> None:
    page = on_board(window, PAWN)
    square(page, "b7").click()
    square(page, "b8").click()
    assert violations(page) == []
    assert violations(on_board(window, KINGS, "free")) == []

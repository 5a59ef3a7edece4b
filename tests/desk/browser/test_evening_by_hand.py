"""What a coach's hands do in a browser, counted: filling a field, ticking, pressing are one each."""

from collections.abc import Iterator
from dataclasses import dataclass

import chess
import pytest
from playwright.sync_api import Page, expect

from coachbook.club.book import open_book
from coachbook.club.results import attendance, play_outs
from coachbook.club.sheets import prepared_for
from coachbook.desk.asked import Desk
from coachbook.workflows.evening_grid import CellMark, GridRow, evening_rows
from tests.desk.browser.conftest import Opener, Window
from tests.workflows.foxes import START, week

pytestmark = pytest.mark.full

NAMES = ("Ana", "Bo", "Cy", "Dee", "Eli", "Flo", "Gus", "Hana", "Ina", "Jon", "Kit", "Lea")


@dataclass
class Hands:
    """A page, and how often something was done to it."""

    page: Page
    count: int = 0

    def press(self, name: str, role: str = "button") -> None:
        self.count += 1
        self.page.get_by_role(role, name=name, exact=True).first.click()  # type: ignore[arg-type] # a role

    def touch(self, selector: str) -> None:
        self.count += 1
        self.page.locator(selector).first.click()

    def fill(self, label: str, text: str) -> None:
        self.count += 1
        self.page.get_by_label(label).first.fill(text)


@pytest.fixture
def hands(opened: Opener, desk_of_nobody: Desk) -> Iterator[Hands]:
    window = opened(1440, at=desk_of_nobody)
    window.open("/")
    yield Hands(window.page)
    window.page.goto("about:blank")  # so that nothing listens when the desk closes


def begin(hands: Hands) -> None:
    """From nothing to tonight's page: twelve students, and evenings on Thursdays."""
    hands.fill("club\N{RIGHT SINGLE QUOTATION MARK}s name", "Hill Street")
    hands.press("Make the book")
    hands.fill("Groups and students", "\n".join(("Foxes:", *NAMES)))
    hands.press("Look at it")
    hands.press("Add them")
    hands.fill("Until", str(week(6)))
    hands.press("Thursday", "checkbox")
    hands.press("Look at the plan")
    hands.press("Keep this plan")
    expect(hands.page.get_by_role("heading", level=1)).to_have_text("Thu 10 Sept 2026")


def make_papers(hands: Hands) -> None:
    hands.press("Make the papers", "link")
    hands.press("Make the papers")
    expect(hands.page.get_by_role("link", name="For the printer")).to_be_visible(timeout=90_000)


def rows(desk: Desk) -> tuple[GridRow, ...]:
    assert desk.book is not None
    return evening_rows(open_book(desk.book), 1, START)


def test_from_an_empty_folder_to_tonights_two_files_takes_at_most_40_actions(
    hands: Hands, desk_of_nobody: Desk
) -> None:
    begin(hands)
    make_papers(hands)
    assert hands.count <= 40
    links = [hands.page.get_by_role("link", name=name) for name in ("For the printer", "For you")]
    for link in links:
        answer = hands.page.request.get(f"{desk_of_nobody.address}{link.get_attribute('href')}")
        assert answer.body().startswith(b"%PDF")
    assert desk_of_nobody.book is not None
    with open_book(desk_of_nobody.book).reading() as tx:
        assert set(prepared_for(tx, "Foxes", START)) == set(NAMES)


def test_an_evening_of_twelve_sheets_is_ticked_with_at_most_60_touches(
    hands: Hands, desk_of_nobody: Desk
) -> None:
    """Eleven are here, one is not; each second sheet has a mistake, and two are left blank."""
    begin(hands)
    make_papers(hands)
    hands.page.goto(desk_of_nobody.address)
    hands.count = 0
    given = rows(desk_of_nobody)
    for number, row in enumerate(given):
        part = f"#row-{row.student.id}"
        hands.touch(f"{part} >> text={'absent' if number == 11 else 'here'}")
        if number < 11:
            hands.touch(f"{part} >> text=all right")
            expect(hands.page.locator(f"{part} .mark.right")).to_have_count(len(row.cells))
        if number % 2 and number < 11:
            hands.touch(f"{part} .mark >> nth=2")
            expect(hands.page.locator(f"{part} .mark.wrong")).to_have_count(1)
    expect(hands.page.locator(f"#row-{given[11].student.id}.away")).to_be_visible()
    assert hands.count <= 60
    wrong = [sum(cell.mark is CellMark.WRONG for cell in row.cells) for row in rows(desk_of_nobody)]
    assert wrong == [0, 1, 0, 1, 0, 1, 0, 1, 0, 1, 0, 0]
    assert desk_of_nobody.book is not None
    with open_book(desk_of_nobody.book).reading() as tx:
        assert sum(each.present for each in attendance(tx)) == 11


def test_one_correction_takes_at_most_3_touches_from_the_first_page(window: Window, desk: Desk) -> None:
    hands = Hands(window.open("/"))
    ana = rows(desk)[0].student.id
    hands.touch(f"#row-{ana} >> text=all right")
    expect(hands.page.locator(f"#row-{ana} .mark:not(.right)")).to_have_count(0)
    hands.count = 0
    hands.touch(f"#row-{ana} .mark >> nth=0")
    expect(hands.page.locator(f"#row-{ana} .mark.wrong")).to_have_count(1)
    assert hands.count <= 3
    assert rows(desk)[0].cells[0].mark is CellMark.WRONG


def test_a_play_out_of_12_moves_is_entered_with_24_touches(window: Window, desk: Desk) -> None:
    """Queen and king come nearer; nobody mates. Each move is two touches of squares."""
    ana = rows(desk)[0].student.id
    hands = Hands(window.open(f"/evening/{START}/1/play-out/{ana}/PLAY-QUEEN-BOX-1"))
    game = chess.Board(hands.page.locator(".squares").get_attribute("data-fen") or "")
    for _ in range(12):
        move = min((each for each in game.legal_moves if game.gives_check(each) is False), key=chess.Move.uci)
        start, end = chess.square_name(move.from_square), chess.square_name(move.to_square)
        hands.touch(f"[data-square={start}]")
        hands.touch(f"[data-square={end}]")
        expect(hands.page.locator(f"[data-square={start}]")).to_have_attribute("aria-label", start)
        game.push(move)
    assert hands.count == 24
    expect(hands.page.locator("#moves")).not_to_have_value("")
    hands.press("Keep it")
    expect(hands.page.get_by_text("Logged: draw")).to_be_visible()  # the kings went to and fro
    assert desk.book is not None
    with open_book(desk.book).reading() as tx:
        (played,) = play_outs(tx)
    assert len(played.moves) == 12


def test_the_evening_can_be_logged_by_keyboard_alone(window: Window, desk: Desk) -> None:
    page = window.open("/")
    bo = rows(desk)[1].student
    page.keyboard.press("Tab")
    _tab_to(page, f"{bo.name}: here")
    page.keyboard.press("Enter")
    here = page.get_by_role("button", name=f"{bo.name}: here", exact=True)
    expect(here).to_have_attribute("aria-pressed", "true")
    _tab_to(page, f"{bo.name}: all right")
    page.keyboard.press("Enter")
    expect(page.locator(f"#row-{bo.id} .mark:not(.right)")).to_have_count(0)
    page.keyboard.press("Shift+Tab")
    page.keyboard.press("Shift+Tab")
    page.keyboard.press("Enter")
    expect(page.locator(f"#row-{bo.id} .mark.wrong")).to_have_count(1)

    page.goto(f"{desk.address}/")
    _tab_to(page, "Close the evening")
    page.keyboard.press("Enter")
    expect(page.get_by_role("heading", name="What was not finished?")).to_be_visible()
    _tab_to(page, "Close the evening")
    page.keyboard.press("Enter")
    expect(page.get_by_text("Foxes: closed")).to_be_visible(timeout=30_000)


def _tab_to(page: Page, name: str) -> None:
    """Tab until something of this name has the focus."""
    focus = "(document.activeElement.getAttribute('aria-label') ?? document.activeElement.textContent).trim()"
    for _ in range(200):
        if page.evaluate(focus) == name:
            return
        page.keyboard.press("Tab")
    raise AssertionError(f"{name} cannot be reached with the Tab key.")

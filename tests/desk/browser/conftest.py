"""A desk on a port of this machine, and windows of a real browser that look at it."""

import socket
import threading
import time
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from pathlib import Path
from typing import Literal

import pytest
import uvicorn
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Browser, BrowserContext, ConsoleMessage, Page, sync_playwright

from coachbook.desk import app
from coachbook.desk.asked import Desk
from coachbook.desk.sessions import COOKIE, Role
from tests.desk.browser.trial_page import TRIAL
from tests.desk.conftest import NOW
from tests.paper.printed import tool
from tests.workflows.conftest import foxes_in
from tests.workflows.foxes import START

Theme = Literal["light", "dark"]
WIDTHS = (360, 820, 1440)
_HEIGHT = 900
_QUIET = (
    "--no-sandbox",
    "--disable-gpu",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
    "--no-first-run",
)
_PATIENCE = 10_000
"""Milliseconds after which what a test waits for counts as never coming."""


@dataclass
class Window:
    """A window of the coach's browser. What its scripts complain of fails the test."""

    desk: Desk
    context: BrowserContext
    page: Page
    complaints: list[str] = field(default_factory=list)

    def open(self, path: str) -> Page:
        """A page of the desk, loaded with its scripts."""
        answer = self.page.goto(f"{self.desk.address}{path}")
        assert answer is not None
        assert answer.status == 200, (path, answer.status)
        self.page.wait_for_url(lambda url: "/work/" not in url)  # what takes long is made first
        return self.page

    def hear(self, message: ConsoleMessage) -> None:
        if message.type in ("error", "warning"):
            self.complaints.append(f"{message.text} {message.location.get('url', '')}")


Opener = Callable[..., Window]


def violations(page: Page) -> list[str]:
    """What axe finds wrong with a page at any width, light or dark, and where; and whether it is wider than
    the window. Colours are the same at all widths, so that one of them is looked at in the dark."""
    looks: list[tuple[int, Theme]] = [*((width, "light") for width in WIDTHS), (WIDTHS[0], "dark")]
    found = []
    for width, theme in looks:
        page.set_viewport_size({"width": width, "height": _HEIGHT})
        page.emulate_media(color_scheme=theme)
        found += [f"{width} {theme}, {each}" for each in _violations(page)]
        if page.evaluate("document.documentElement.scrollWidth") > width:
            found.append(f"{width} {theme}, wider than the window")
    return found


def _violations(page: Page) -> list[str]:
    found = Axe().run(page).response["violations"]
    return [f"{each['id']}: {[node['target'] for node in each['nodes']][:3]}" for each in found]


@pytest.fixture
def desk_of_nobody(tmp_path: Path) -> Iterator[Desk]:
    """A desk in an empty folder: there is no club yet."""
    with socket.create_server(("127.0.0.1", 0)) as listening:
        address = f"http://127.0.0.1:{listening.getsockname()[1]}"
        made = Desk(tmp_path / "club.book", None, lambda: NOW, lambda: START, address)
        yield from _served(made, listening)


@pytest.fixture(scope="module")
def desk(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Desk]:
    """The Foxes' desk on their first evening, served on a free port. It has the trial page, too."""
    with socket.create_server(("127.0.0.1", 0)) as listening, pytest.MonkeyPatch.context() as patch:
        address = f"http://127.0.0.1:{listening.getsockname()[1]}"
        book = foxes_in(tmp_path_factory.mktemp("club"))
        made = Desk(book.path, None, lambda: NOW, lambda: START, address)
        patch.setattr(app, "ALL_PAGES", (*app.ALL_PAGES, TRIAL))
        yield from _served(made, listening)


def _served(made: Desk, listening: socket.socket) -> Iterator[Desk]:
    config = uvicorn.Config(
        app.make_app(made), log_config=None, lifespan="off", ws="none", timeout_graceful_shutdown=1
    )
    server = uvicorn.Server(config)
    thread = threading.Thread(target=server.run, args=([listening],))
    thread.start()
    while not server.started and thread.is_alive():
        time.sleep(0.01)
    yield made
    server.should_exit = True
    thread.join()


@pytest.fixture(scope="module")
def chromium() -> Iterator[Browser]:
    """The system's browser. Where there is none its tests are skipped, or fail where tools are required."""
    program = tool("chromium")
    with sync_playwright() as driver:
        browser = driver.chromium.launch(executable_path=program, args=_QUIET)
        yield browser
        browser.close()


@pytest.fixture
def opened(chromium: Browser, desk: Desk) -> Iterator[Opener]:
    """Opens windows that were let in, of any width, light or dark, with a finger for a mouse or not."""
    windows: list[Window] = []

    def opens(
        width: int = 820, theme: Theme = "light", *, touch: bool = False, at: Desk | None = None
    ) -> Window:
        own = at or desk
        context = chromium.new_context(
            viewport={"width": width, "height": _HEIGHT}, color_scheme=theme, has_touch=touch
        )
        context.set_default_timeout(_PATIENCE)
        window = Window(own, context, context.new_page())
        window.page.on("console", window.hear)
        window.page.on("pageerror", lambda error: window.complaints.append(str(error)))
        windows.append(window)
        session = own.sessions.enter(own.sessions.new_link(Role.COACH, own.now()), own.now())
        assert session is not None
        context.add_cookies([{"name": COOKIE, "value": session.key, "url": own.address}])
        return window

    yield opens
    for window in windows:
        window.context.close()
    assert [window.complaints for window in windows if window.complaints] == []


@pytest.fixture
def window(opened: Opener) -> Window:
    """A window as wide as a tablet."""
    return opened()

"""A desk without a server: its application, and browsers that are in."""

import re
import shutil
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import UTC, date, datetime
from pathlib import Path
from uuid import uuid4

import pytest
from httpx2 import Response
from starlette.testclient import TestClient

from coachbook.club.book import Book, open_book
from coachbook.desk.app import make_app
from coachbook.desk.asked import Desk
from coachbook.desk.sessions import Role
from tests.workflows.conftest import first_foxes
from tests.workflows.foxes import START

__all__ = ["first_foxes"]

ADDRESS = "http://127.0.0.1:8642"
NOW = datetime(2026, 9, 10, 18, 0, tzinfo=UTC)


@dataclass(frozen=True)
class Browser:
    """A browser that was let in, or not yet."""

    desk: Desk
    client: TestClient

    def get(self, path: str, status: int = 200) -> str:
        """A page, after all redirects."""
        answer = self.client.get(path)
        assert answer.status_code == status, (path, answer.status_code, answer.text[:500])
        return answer.text

    def post(self, path: str, status: int = 200, **form: object) -> Response:
        """What comes of a form, after all redirects."""
        return self.send(path, form, status)

    def send(self, path: str, form: Mapping[str, object], status: int = 200) -> Response:
        """The same, of a form that is at hand."""
        sent = {"touch": str(uuid4()), **form}
        answer = self.client.post(path, data=sent, headers={"origin": ADDRESS})
        assert answer.status_code == status, (path, answer.status_code, answer.text[:500])
        return answer

    def wait_for_work(self, answer: Response) -> Response:
        """The page that work leads to, or the one that says why it was not done."""
        while answer.url.path.startswith("/work/") and answer.status_code == 200:
            answer = self.client.get(answer.url.path)
        return answer


def words(html: str) -> str:
    """What somebody reads on a page, with single spaces."""
    return " ".join(re.sub(r"<[^>]*>", " ", html).split())


def told(day: date) -> str:
    """A day as the desk shows it to a club that has chosen nothing."""
    return f"{day.day} {('Aug', 'Sept', 'Oct', 'Nov')[day.month - 8]} {day.year}"


def desk_of(path: Path, today: date = START) -> Desk:
    return Desk(path, None, lambda: NOW, lambda: today, ADDRESS)


def browser_of(desk: Desk, role: Role | None = Role.COACH) -> Browser:
    client = TestClient(make_app(desk), base_url=ADDRESS, raise_server_exceptions=True)
    if role is not None:
        on = None if role is Role.COACH else desk.today()
        client.get(f"/enter/{desk.sessions.new_link(role, desk.now(), on)}")
    return Browser(desk, client)


@pytest.fixture
def foxes(first_foxes: Path, tmp_path: Path) -> Book:
    """A book of the Foxes."""
    shutil.copytree(first_foxes, tmp_path, dirs_exist_ok=True)
    return open_book(tmp_path / "club.book")


@pytest.fixture
def coach(foxes: Book) -> Browser:
    """The coach's browser, at the Foxes' first evening."""
    return browser_of(desk_of(foxes.path))


@pytest.fixture
def helper(foxes: Book) -> Browser:
    """A tablet in the same room."""
    return browser_of(desk_of(foxes.path), Role.HELPER)


@pytest.fixture
def newcomer(tmp_path: Path) -> Browser:
    """The coach's browser where there is no club yet."""
    return browser_of(desk_of(tmp_path / "club.book"))

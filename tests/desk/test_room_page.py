"""Tablets come in one by one, see one evening, and go when the coach ends them."""

import asyncio
import json
import re
from dataclasses import replace
from datetime import date, timedelta
from uuid import uuid4

import pytest
from starlette.testclient import TestClient

from coachbook.club.book import Book
from coachbook.desk.asked import Desk
from coachbook.desk.reach import may_listen
from coachbook.desk.sessions import Role, Session
from coachbook.model.facts import Observation
from coachbook.workflows.evening_grid import evening_rows
from coachbook.workflows.evening_log import list_log
from coachbook.workflows.members import add_member, add_teaching_group
from coachbook.workflows.playing import keep_observation
from tests.desk.conftest import NOW, Browser, browser_of, desk_of, words
from tests.workflows.foxes import START, week

ROOM = "http://192.168.1.20:8642"
BASE = f"/evening/{START}/1"
NOTE = Observation("Ana", "", START, "cried a little")


@pytest.fixture
def host(foxes: Book) -> Browser:
    """The coach's browser, at a desk that is open to the room."""
    return browser_of(replace(desk_of(foxes.path), room=ROOM))


def link_on(page: str) -> str:
    """The address that stands below the code."""
    (found,) = re.findall(rf"{re.escape(ROOM)}(/enter/[\w-]+)", page)
    return str(found)


def tablet_of(host: Browser) -> Browser:
    """A tablet that was let in with the page's code."""
    tablet = TestClient(host.client.app, base_url=ROOM)
    assert tablet.get(link_on(host.post("/room/link").text)).status_code == 200
    return Browser(host.desk, tablet)


def touched(tablet: Browser, path: str, **form: str) -> int:
    """The status of what a tablet sends."""
    sent = {"touch": str(uuid4()), **form}
    return tablet.client.post(path, data=sent, headers={"origin": ROOM}).status_code


def test_a_desk_that_is_not_open_to_the_room_says_so_and_gives_no_code(coach: Browser) -> None:
    assert "on this laptop alone" in words(coach.get("/room"))
    assert "was not opened for the room" in coach.post("/room/link", 422).text


def test_a_code_is_shown_when_it_is_asked_for(host: Browser) -> None:
    assert "/enter/" not in host.get("/room")
    page = host.post("/room/link").text
    assert '<svg class="qr"' in page
    assert "to the evening of Thu 10 Sept 2026" in words(page)
    assert "not encrypted" in page


def test_a_code_lets_one_tablet_in_and_then_another_is_offered(host: Browser) -> None:
    link = link_on(host.post("/room/link").text)
    assert link_on(host.get("/room")) == link
    tablet = TestClient(host.client.app, base_url=ROOM)
    assert "Ana" in tablet.get(link).text
    assert TestClient(host.client.app, base_url=ROOM).get(link).status_code == 403
    page = host.get("/room")
    assert "/enter/" not in page
    assert "Tablet 1 since" in words(page) and "A code for one more tablet" in page


def test_tablets_are_numbered_by_themselves(host: Browser) -> None:
    tablet_of(host)
    tablet_of(host)
    assert re.findall(r"Tablet \d", words(host.get("/room"))) == ["Tablet 1", "Tablet 2"]


def test_a_tablet_that_is_ended_sees_nothing_more(host: Browser) -> None:
    tablet = tablet_of(host)
    tablet.get("/")
    (number,) = re.findall(r"/room/end/(\d+)", host.get("/room"))
    assert "None yet" in host.post(f"/room/end/{number}").text
    assert "Ana" not in tablet.get("/", 403)
    assert touched(tablet, f"{BASE}/register/1", state="here") == 403
    assert "no longer in" in host.post(f"/room/end/{number}", 422).text


def test_the_coachs_own_browser_cannot_be_ended_there(host: Browser) -> None:
    host.post("/room/end/1", 422)
    host.get("/room")


@pytest.mark.parametrize(
    "path", ["/room", "/term", "/log", "/settings", f"/evening/{START}/prepare", "/work/1"]
)
def test_a_tablet_sees_no_page_of_the_coach(host: Browser, path: str) -> None:
    answer = tablet_of(host).client.get(path)
    assert answer.status_code in (403, 404)
    assert "Ana" not in answer.text


def test_a_tablet_lets_nobody_in(host: Browser) -> None:
    tablet = tablet_of(host)
    for path in ("/room/link", "/room/end/1"):
        assert touched(tablet, path) == 403


@pytest.mark.parametrize("on", [week(1), START - timedelta(days=7), "20260910", "x"])
def test_a_tablet_sees_no_other_evening(host: Browser, on: date | str) -> None:
    answer = tablet_of(host).client.get(f"/evening/{on}/1")
    assert answer.status_code == 403
    assert "Ana" not in answer.text


def test_a_tablet_stays_with_its_evening_when_another_is_nearest(host: Browser) -> None:
    tablet = tablet_of(host)
    later = replace(host.desk, today=lambda: week(2))
    app = browser_of(later, None).client.app
    client = TestClient(app, base_url=ROOM, cookies=dict(tablet.client.cookies))
    assert "Thu 10 Sept 2026" in client.get("/").text


def test_a_tablet_sees_no_group_that_is_not_there_tonight(host: Browser, foxes: Book) -> None:
    add_teaching_group(foxes, "Owls")
    add_member(foxes, "Zoe", ("Owls",))
    tablet = tablet_of(host)
    assert "Zoe" not in tablet.get("/")
    assert "Zoe" not in tablet.get(f"/evening/{START}/2", 403)
    for path in (f"/evening/{START}/2/register/3", f"{BASE}/register/3", f"{BASE}/register/99"):
        assert touched(tablet, path, state="here") == 403
    assert len(list_log(foxes, 10)) == 1  # the plan


def test_a_tablet_marks_the_sheet_of_the_student_of_tonight_only(host: Browser, foxes: Book) -> None:
    tablet = tablet_of(host)
    ana, bo = evening_rows(foxes, 1, START)
    assert touched(tablet, f"{BASE}/all-right/1", sheet="QB-0000") == 403
    if ana.sheet != bo.sheet:
        assert touched(tablet, f"{BASE}/all-right/1", sheet=bo.sheet) == 403
    assert touched(tablet, f"{BASE}/all-right/1", sheet=ana.sheet) == 200


def test_a_tablet_sees_no_note_of_the_coach(host: Browser, foxes: Book) -> None:
    keep_observation(foxes, NOTE, NOW)
    tablet = tablet_of(host)
    assert "cried a little" in host.get("/")
    assert "cried a little" not in tablet.get("/")
    answer = tablet.client.post(
        f"{BASE}/register/1",
        data={"touch": str(uuid4()), "state": "late"},
        headers={"origin": ROOM, "x-part": "yes"},
    )
    assert answer.status_code == 200
    assert "cried a little" not in answer.text


def test_a_name_with_markup_is_shown_as_it_is_written(host: Browser, foxes: Book) -> None:
    add_member(foxes, "<b>Eve & 'Co'</b>", ("Foxes",))
    for browser in (host, tablet_of(host)):
        page = browser.get("/")
        assert "<b>Eve" not in page
        assert "&lt;b&gt;Eve &amp; &#39;Co&#39;&lt;/b&gt;" in page


def session_of(desk: Desk, role: Role, on: date | None = None) -> Session:
    session = desk.sessions.enter(desk.sessions.new_link(role, NOW, on), NOW)
    assert session is not None
    return session


@pytest.mark.parametrize(
    ("about", "may"),
    [
        (f"{START}.1.tablet", True),
        (f"{START}.1", False),
        (f"{START}.2.tablet", False),
        (f"{START}.x.tablet", False),
        (f"{START}.{'9' * 50}.tablet", False),
        (f"{week(1)}.1.tablet", False),
        ("room", False),
        ("", False),
    ],
)
def test_a_tablet_listens_to_its_own_evening_only(host: Browser, about: str, *, may: bool) -> None:
    tablet = session_of(host.desk, Role.HELPER, START)
    assert may_listen(host.desk, tablet, about) == may
    assert may_listen(host.desk, session_of(host.desk, Role.COACH), about)
    if not may:
        assert tablet_of(host).client.get(f"/live/{about}").status_code in (403, 404)


async def heard(desk: Desk, about: str, then: Browser, path: str, **form: str) -> dict[str, object]:
    """What a browser that listens is sent when another one sends a form."""
    stream = desk.live.listen(about)
    assert await anext(stream) == "retry: 1000\n\n"
    await asyncio.to_thread(
        then.client.post, path, data={"touch": str(uuid4()), **form}, headers={"origin": ROOM}
    )
    told = await anext(stream)
    found: dict[str, object] = json.loads(told.removeprefix("data: "))
    return found


def test_all_others_are_told_which_tablet_changed_a_row(host: Browser, foxes: Book) -> None:
    keep_observation(foxes, NOTE, NOW)
    tablet_of(host)
    tablet = tablet_of(host)
    touch = f"{BASE}/register/1"
    told = asyncio.run(heard(host.desk, f"{START}.1", tablet, touch, state="late"))
    assert told["told"] == "Changed by tablet 2."
    assert told["part"] == "row-1"
    assert "cried a little" in str(told["html"])
    told = asyncio.run(heard(host.desk, f"{START}.1.tablet", tablet, touch, state="late"))
    assert "cried a little" not in str(told["html"])


def test_the_coachs_page_shows_a_tablet_that_comes_in(host: Browser) -> None:
    link = link_on(host.post("/room/link").text)

    async def heard_of_it() -> dict[str, object]:
        stream = host.desk.live.listen("room")
        await anext(stream)
        await asyncio.to_thread(TestClient(host.client.app, base_url=ROOM).get, link)
        found: dict[str, object] = json.loads((await anext(stream)).removeprefix("data: "))
        return found

    told = asyncio.run(heard_of_it())
    assert (told["part"], told["told"]) == ("devices", "Tablet 1 is in.")
    assert "Tablet 1" in str(told["html"])

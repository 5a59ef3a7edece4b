"""Only the desk's own pages, in browsers that were let in, reach the desk."""

from collections.abc import Iterator
from dataclasses import replace
from datetime import date, timedelta
from pathlib import Path
from uuid import uuid4

import pytest
from starlette.testclient import TestClient
from starlette.websockets import WebSocketDisconnect

from coachbook.club.book import Book
from coachbook.desk.app import ALL_PAGES, make_app
from coachbook.desk.guard import MOST_BYTES
from coachbook.desk.sessions import COOKIE, Role
from coachbook.workflows.evening_grid import CellMark, evening_rows
from tests.desk.conftest import ADDRESS, NOW, Browser, browser_of, desk_of
from tests.workflows.foxes import START

BASE = f"/evening/{START}/1"
ROOM = "http://192.168.1.20:8642"


def in_room(browser: Browser) -> TestClient:
    """A browser with the same cookie, under the address of the room."""
    cookie = browser.client.cookies[COOKIE]
    return TestClient(browser.client.app, base_url=ROOM, cookies={COOKIE: cookie})


@pytest.fixture
def stranger(foxes: Book) -> Browser:
    """A browser that nobody let in."""
    return browser_of(desk_of(foxes.path), None)


@pytest.fixture
def coach_with_room(foxes: Book) -> Browser:
    """The coach's browser, at a desk that is open to the room."""
    return browser_of(replace(desk_of(foxes.path), room=ROOM))


def all_right(browser: Browser, foxes: Book, **headers: str) -> int:
    """The status of a touch that is sent with these headers."""
    sheet = evening_rows(foxes, 1, START)[0].sheet
    form = {"touch": str(uuid4()), "sheet": sheet}
    return browser.client.post(f"{BASE}/all-right/1", data=form, headers=headers).status_code


def nothing_is_marked(foxes: Book) -> bool:
    return {cell.mark for cell in evening_rows(foxes, 1, START)[0].cells} == {CellMark.NOTHING}


@pytest.mark.parametrize(
    "host",
    ["club.example", "127.0.0.1", "127.0.0.1:1", "127.0.0.1:8642.club.example", "192.168.1.20:8642", ""],
)
def test_another_host_gets_nothing(coach: Browser, host: str) -> None:
    answer = coach.client.get("/", headers={"host": host})
    assert answer.status_code == 421
    assert "Ana" not in answer.text


def test_the_machines_own_name_will_do(coach: Browser) -> None:
    assert coach.client.get("/", headers={"host": "localhost:8642"}).status_code == 200


@pytest.mark.parametrize(
    "origin", ["http://club.example", "null", "https://127.0.0.1:8642", "http://localhost:8642", ROOM, ""]
)
def test_nothing_is_kept_that_another_page_sends(coach: Browser, foxes: Book, origin: str) -> None:
    assert all_right(coach, foxes, origin=origin) == 403
    assert nothing_is_marked(foxes)


def test_nothing_is_kept_that_comes_from_nowhere(coach: Browser, foxes: Book) -> None:
    assert all_right(coach, foxes) == 403
    assert nothing_is_marked(foxes)


def test_what_the_desks_own_page_sends_is_kept(coach: Browser, foxes: Book) -> None:
    assert all_right(coach, foxes, origin=ADDRESS) == 200
    assert not nothing_is_marked(foxes)


@pytest.mark.parametrize("method", ["PUT", "DELETE", "PATCH", "OPTIONS", "TRACE"])
def test_other_methods_change_nothing(coach: Browser, method: str) -> None:
    answer = coach.client.request(method, BASE, headers={"origin": ADDRESS})
    assert answer.status_code == 405


def test_every_page_is_shut_to_a_browser_that_was_not_let_in(stranger: Browser) -> None:
    for page in ALL_PAGES:
        path = page.path.replace("{on}", str(START)).replace(":int}", "}")
        answer = stranger.client.request(page.method, path, headers={"origin": ADDRESS})
        assert answer.status_code == 403, page.path
        assert "Ana" not in answer.text


@pytest.mark.parametrize("cookie", ["", "x", "x" * 5000, "=;=", '"', "a b; c"])
def test_a_cookie_that_is_none_lets_nobody_in(stranger: Browser, cookie: str) -> None:
    answer = stranger.client.get("/", headers={"cookie": f"{COOKIE}={cookie}"})
    assert answer.status_code == 403


@pytest.mark.parametrize("path", ["/live/x", "/made/x/pdf", "/work/1", "/no-such-page", "//", "/enter"])
def test_what_is_no_page_is_shut_too(stranger: Browser, path: str) -> None:
    assert stranger.client.get(path).status_code == 403


def test_a_link_lets_one_browser_in(stranger: Browser) -> None:
    link = f"/enter/{stranger.desk.sessions.new_link(Role.COACH, NOW)}"
    assert "Ana" in stranger.get(link)
    other = TestClient(stranger.client.app, base_url=ADDRESS)
    assert other.get(link).status_code == 403
    assert other.get("/").status_code == 403


def test_a_link_lasts_for_an_hour(stranger: Browser) -> None:
    link = f"/enter/{stranger.desk.sessions.new_link(Role.COACH, NOW - timedelta(hours=1, seconds=1))}"
    assert "too old" in stranger.get(link, 403)


def test_a_new_link_takes_the_place_of_one_that_nobody_used(stranger: Browser) -> None:
    first, second = (stranger.desk.sessions.new_link(Role.COACH, NOW) for _ in range(2))
    stranger.get(f"/enter/{first}", 403)
    stranger.get(f"/enter/{second}")


def test_who_only_looks_whether_there_is_a_page_does_not_use_a_link_up(stranger: Browser) -> None:
    link = f"/enter/{stranger.desk.sessions.new_link(Role.COACH, NOW)}"
    assert stranger.client.head(link).status_code == 204
    stranger.get(link)


def test_yesterdays_browser_is_out(foxes: Book) -> None:
    now = [NOW]
    coach = browser_of(replace(desk_of(foxes.path), now=lambda: now[0]))
    coach.get("/")
    now[0] += timedelta(hours=16, seconds=1)
    coach.get("/", 403)


def test_the_cookie_is_for_this_desk_alone(stranger: Browser) -> None:
    link = f"/enter/{stranger.desk.sessions.new_link(Role.COACH, NOW)}"
    told = stranger.client.get(link, follow_redirects=False).headers["set-cookie"].lower()
    assert "httponly" in told and "samesite=strict" in told and "domain" not in told


def test_the_coach_is_nobody_under_the_address_of_the_room(coach_with_room: Browser) -> None:
    coach_with_room.get("/")
    answer = in_room(coach_with_room).get("/")
    assert answer.status_code == 403
    assert "Ana" not in answer.text


def test_a_link_of_the_coachs_that_was_in_the_room_is_used_up(coach_with_room: Browser) -> None:
    link = f"/enter/{coach_with_room.desk.sessions.new_link(Role.COACH, NOW)}"
    in_the_room = TestClient(coach_with_room.client.app, base_url=ROOM)
    assert in_the_room.get(link).status_code == 403
    assert in_the_room.get("/").status_code == 403
    other = TestClient(coach_with_room.client.app, base_url=ADDRESS)
    assert other.get(link).status_code == 403


def test_a_helper_comes_in_under_the_address_of_the_room(coach_with_room: Browser, foxes: Book) -> None:
    tablet = TestClient(coach_with_room.client.app, base_url=ROOM)
    tablet.get(f"/enter/{coach_with_room.desk.sessions.new_link(Role.HELPER, NOW, START)}")
    assert "Ana" in tablet.get("/").text
    sheet = evening_rows(foxes, 1, START)[0].sheet
    for origin, status in ((ADDRESS, 403), (ROOM, 200)):
        form = {"touch": str(uuid4()), "sheet": sheet}
        answer = tablet.post(f"{BASE}/all-right/1", data=form, headers={"origin": origin})
        assert answer.status_code == status


@pytest.mark.parametrize(
    "path",
    [
        "/static/../evening_page.py",
        "/static/%2e%2e/evening_page.py",
        "/static/..%2f..%2fevening_page.py",
        "/static/%252e%252e/evening_page.py",
        "/static//etc/passwd",
        "/static/%00",
        "/static/" + "x" * 3000,
        "/static/fonts/../../evening_page.py",
        "/static/fonts/AtkinsonHyperlegible-Regular.ttf",
        "/static/",
        "/made/other/pdf",
        "/made/../book",
        "/made/%2e%2e%2fclub.book/pdf",
        "/enter/x/y",
        "/evening/%2e%2e/1",
    ],
)
def test_a_path_with_tricks_leads_nowhere(coach: Browser, path: str) -> None:
    answer = coach.client.get(path)
    assert 400 <= answer.status_code < 500
    assert "def " not in answer.text and "root:" not in answer.text


def test_a_file_has_no_address_until_it_is_made(coach: Browser, tmp_path: Path) -> None:
    paper = tmp_path / "plan.pdf"
    paper.write_bytes(b"%PDF-")
    address = coach.desk.made.add(paper)
    assert coach.client.get(address).content == b"%PDF-"
    assert coach.client.get(address[:-5] + "x/pdf").status_code == 404
    paper.unlink()
    assert coach.client.get(address).status_code == 404


def test_a_file_that_was_made_is_not_for_a_tablet(helper: Browser, tmp_path: Path) -> None:
    (tmp_path / "plan.pdf").write_bytes(b"%PDF-")
    helper.get(helper.desk.made.add(tmp_path / "plan.pdf"), 404)


FIFTY_MB = 50 * 2**20


def too_much() -> Iterator[bytes]:
    """Fifty megabytes of a form's file, with no length told beforehand."""
    yield b'--x\r\ncontent-disposition: form-data; name="table"; filename="a.csv"\r\n\r\n'
    for _ in range(50):
        yield b"x" * 2**20


@pytest.mark.parametrize("kind", ["multipart/form-data; boundary=x", "application/x-www-form-urlencoded"])
def test_an_upload_that_never_ends_is_cut_off(coach: Browser, kind: str) -> None:
    headers = {"origin": ADDRESS, "content-type": kind}
    answer = coach.client.post(f"{BASE}/register/1", content=too_much(), headers=headers)
    assert answer.status_code in (400, 413)


def test_an_upload_that_says_how_large_it_is_is_not_read_at_all(coach: Browser) -> None:
    headers = {"origin": ADDRESS, "content-length": str(FIFTY_MB)}
    answer = coach.client.post(f"{BASE}/register/1", content=b"x", headers=headers)
    assert (answer.status_code, answer.text) == (413, "A file may have 8 MB at most.")


@pytest.mark.parametrize("length", ["-1", "x", "1e3", "9" * 5000, str(MOST_BYTES + 1), "\u00b2"])
def test_a_length_that_cannot_be_is_refused(coach: Browser, length: str) -> None:
    headers = {b"origin": ADDRESS.encode(), b"content-length": length.encode("latin-1")}
    assert coach.client.post(f"{BASE}/register/1", content=b"x", headers=headers).status_code == 413


def test_there_is_no_websocket(coach: Browser) -> None:
    with pytest.raises(WebSocketDisconnect) as closed, coach.client.websocket_connect("/"):
        pass
    assert closed.value.code == 1008


@pytest.mark.parametrize(
    ("path", "status"),
    [("/", 200), (f"{BASE}", 200), ("/no-such", 404), ("/evening/x/1", 422), ("/static/desk.css", 200)],
)
def test_every_answer_tells_the_browser_what_to_keep_to(coach: Browser, path: str, status: int) -> None:
    headers = coach.client.get(path).headers
    assert coach.client.get(path).status_code == status
    assert "default-src 'none'" in headers["content-security-policy"]
    assert "unsafe" not in headers["content-security-policy"]
    assert headers["x-content-type-options"] == "nosniff"
    assert headers["referrer-policy"] == "same-origin"
    assert headers["cross-origin-opener-policy"] == "same-origin"
    kept = "private, max-age=3600" if path.startswith("/static/") else "no-store"
    assert headers["cache-control"] == kept
    assert "server" not in headers


def test_a_refusal_has_the_same_headers(stranger: Browser) -> None:
    refusals = [
        stranger.client.get("/"),
        stranger.client.get("/", headers={"host": "club.example"}),
        stranger.client.post("/", headers={"origin": "null"}),
        stranger.client.get("/enter/none"),
        stranger.client.get("/static/none.css"),
    ]
    for each in refusals:
        assert "content-security-policy" in each.headers
    assert [each.status_code for each in refusals] == [403, 421, 403, 403, 404]


def _broken_clock() -> date:
    raise ZeroDivisionError


def test_a_fault_of_the_desk_shows_nothing_of_itself(foxes: Book) -> None:
    desk = replace(desk_of(foxes.path), today=_broken_clock)
    client = TestClient(make_app(desk), base_url=ADDRESS, raise_server_exceptions=False)
    client.get(f"/enter/{desk.sessions.new_link(Role.COACH, NOW)}")
    answer = client.get("/")
    assert (answer.status_code, answer.text) == (500, "The desk could not answer.")
    assert answer.headers["cache-control"] == "no-store"

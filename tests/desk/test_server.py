"""The desk as it is served: it listens where it says, and says nothing of what it is asked."""

import asyncio
import socket
import threading
from collections.abc import Iterator
from contextlib import closing, contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import httpx2
import pytest

from coachbook.club.book import Book
from coachbook.desk import server
from coachbook.desk.server import HOST, Started, local_address, serve
from coachbook.errors import CoachbookError


@dataclass(frozen=True)
class Served:
    """A desk that is being served."""

    started: Started

    @property
    def port(self) -> int:
        return int(self.started.desk.address.rpartition(":")[2])

    def send(self, raw: bytes) -> bytes:
        """What comes of raw bytes, until the desk has no more to say, or for a second."""
        with socket.create_connection((HOST, self.port), timeout=1) as wire:
            wire.sendall(raw)
            try:
                return wire.recv(100_000)
            except TimeoutError:
                return b""


@contextmanager
def served(book: Path | None, monkeypatch: pytest.MonkeyPatch, *, room: bool = False) -> Iterator[Served]:
    """A desk in a thread, which ends with the block."""
    found: list[Started] = []
    is_up = threading.Event()
    running: list[Any] = []

    class Stoppable(server._Server):
        def __init__(self, *values: Any) -> None:  # noqa: ANN401 - whatever the server takes
            super().__init__(*values)
            running.append(self)

    def tell(started: Started) -> None:
        found.append(started)
        is_up.set()

    monkeypatch.setattr(server, "_Server", Stoppable)
    desk = threading.Thread(
        target=serve, args=(book, None, None, tell), kwargs={"opens": False, "room": room}
    )
    desk.start()
    assert is_up.wait(60)
    try:
        yield Served(found[0])
    finally:
        running[0].should_exit = True
        desk.join(60)


def test_the_link_opens_the_desk(foxes: Book, monkeypatch: pytest.MonkeyPatch) -> None:
    with served(foxes.path, monkeypatch) as desk, httpx2.Client(follow_redirects=True) as browser:
        assert desk.started.desk.room == ""
        assert "Ana" in browser.get(desk.started.link).text
        assert "server" not in browser.get(desk.started.desk.address).headers


def test_a_room_has_an_address_of_its_own(foxes: Book, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(server, "local_address", lambda: HOST)
    with served(foxes.path, monkeypatch, room=True) as desk, httpx2.Client(follow_redirects=True) as browser:
        own, room = desk.started.desk.address, desk.started.desk.room
        assert own != room
        browser.get(desk.started.link)
        assert browser.get(own).status_code == 200
        assert browser.get(room).status_code == 403  # the same cookie: it knows no ports


def test_a_room_without_a_network_is_told_in_one_line(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(server, "_address_towards", lambda _: "")
    with pytest.raises(CoachbookError, match="is in no local network"):
        serve(None, None, None, lambda _: None, opens=False, room=True)


def test_an_address_of_the_whole_internet_is_no_room(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(server, "_address_towards", lambda _: "8.8.8.8")
    with pytest.raises(CoachbookError, match="from the whole Internet"):
        local_address()


def test_of_several_ways_the_one_that_leads_out_is_taken(monkeypatch: pytest.MonkeyPatch) -> None:
    ways = {"192.0.2.1": "192.168.1.20", "10.42.0.2": "10.42.0.1"}
    monkeypatch.setattr(server, "_address_towards", lambda to: ways.get(to, ""))
    assert local_address() == "192.168.1.20"
    del ways["192.0.2.1"]
    assert local_address() == "10.42.0.1"


def test_the_machine_itself_is_no_network() -> None:
    assert server._address_towards("127.0.0.1") == ""


@pytest.mark.parametrize("port", [0, -1, 65536])
def test_a_port_that_cannot_be_is_refused(port: int) -> None:
    with pytest.raises(CoachbookError, match="There is no port"):
        serve(None, None, port, lambda _: None, opens=False)


def test_a_port_that_is_taken_is_refused() -> None:
    with closing(socket.socket()) as other:
        other.bind((HOST, 0))
        other.listen()
        with pytest.raises(CoachbookError, match="used by another program"):
            serve(None, None, other.getsockname()[1], lambda _: None, opens=False)


def test_nothing_that_is_asked_is_written_down(
    foxes: Book,
    monkeypatch: pytest.MonkeyPatch,
    capfd: pytest.CaptureFixture[str],
    caplog: pytest.LogCaptureFixture,
) -> None:
    with served(foxes.path, monkeypatch) as desk, httpx2.Client(follow_redirects=True) as browser:
        own = desk.started.desk.address
        browser.get(desk.started.link)
        browser.get(f"{own}/no-such-page")
        browser.post(own, headers={"origin": "http://club.example"})
        with browser.stream("GET", f"{own}/live/2026-09-10.1") as stream:
            assert next(stream.iter_text()).startswith("retry")
        host = f"Host: 127.0.0.1:{desk.port}\r\n".encode()
        assert desk.send(b"\x00\x01\x02 nonsense\r\n\r\n").startswith(b"HTTP/1.1 400")
        assert desk.send(b"GET / HTTP/1.1\r\n" + host * 2 + b"\r\n").startswith(b"HTTP/1.1 400")
        assert desk.send(b"GET /" + b"x" * 200_000 + b" HTTP/1.1\r\n" + host).startswith(b"HTTP/1.1 400")
        websocket = b"Upgrade: websocket\r\nConnection: Upgrade\r\nSec-WebSocket-Key: x\r\n"
        assert desk.send(b"GET / HTTP/1.1\r\n" + host + websocket + b"\r\n").startswith(b"HTTP/1.1 403")
        assert desk.send(b"POST / HTTP/1.1\r\n" + host + b"Content-Length: 5000\r\n\r\nx").startswith(
            b"HTTP/1.1 403"
        )
        monkeypatch.setattr("coachbook.desk.evening_page.nearest_evening", lambda *_: 1 // 0)
        assert browser.get(own).status_code == 500
    assert capfd.readouterr() == ("", "")
    assert [record.getMessage() for record in caplog.records if record.name != "httpx2"] == []


def test_what_is_short_is_sent_at_once() -> None:
    """Else the end of each answer waits until the browser has said that it has the beginning."""
    listening = server._first_free(HOST, [0])
    assert listening is not None

    async def is_sent_at_once() -> bool:
        found = asyncio.Future[bool]()

        def came(_: asyncio.StreamReader, writer: asyncio.StreamWriter) -> None:
            wire = writer.get_extra_info("socket")
            found.set_result(bool(wire.getsockopt(socket.IPPROTO_TCP, socket.TCP_NODELAY)))
            writer.close()

        async with await asyncio.start_server(came, sock=listening):
            with closing(socket.create_connection(listening.getsockname())):
                return await found

    assert asyncio.run(is_sent_at_once())

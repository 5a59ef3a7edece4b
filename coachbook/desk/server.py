"""Starts the desk: a small web server on this machine alone, or for the tablets of a room, too; and the
browser with a link that works once. It finds this machine's own address in the local network."""

import ipaddress
import socket
import threading
import webbrowser
from collections.abc import Callable, Iterable
from contextlib import ExitStack, closing
from dataclasses import dataclass
from datetime import UTC, date, datetime
from pathlib import Path

import uvicorn

from coachbook.desk.app import make_app
from coachbook.desk.asked import Desk
from coachbook.desk.sessions import Role
from coachbook.errors import CoachbookError

HOST = "127.0.0.1"
USUAL_PORT = 8642
_TRIES = 20
_LAST_PORT = 65535


@dataclass(frozen=True, slots=True)
class Started:
    """A desk that listens, and the link that lets the coach's browser in."""

    desk: Desk
    link: str


def serve(
    book: Path | None,
    syllabus: Path | None,
    port: int | None,
    tell: Callable[[Started], None],
    *,
    opens: bool,
    room: bool = False,
    page: str = "/",
) -> None:
    """Serve the desk until it is interrupted. `tell` is called once it listens; with `opens` the browser is
    opened then, on a `page`. Without a `port` it is the usual one, or the next that is free. With `room` it
    listens under this machine's address in the local network, too.

    Raises CoachbookError if the port cannot be had, or for a room without a network.
    """
    place = local_address() if room else ""
    with ExitStack() as until_closed:
        own = until_closed.enter_context(_listen(port))
        sockets = [own]
        if place:
            sockets.append(until_closed.enter_context(_listen_in_room(place, own.getsockname()[1])))
        address, *others = (f"http://{name}:{at}" for name, at in (each.getsockname() for each in sockets))
        desk = Desk(book, syllabus, lambda: datetime.now(UTC), date.today, address, "".join(others))
        link = f"{address}/enter/{desk.sessions.new_link(Role.COACH, desk.now(), page=page)}"
        server = _Server(make_app(desk), lambda: _started(Started(desk, link), tell, opens=opens))
        server.run(sockets=sockets)


def _started(started: Started, tell: Callable[[Started], None], *, opens: bool) -> None:
    tell(started)
    if opens:
        threading.Thread(target=webbrowser.open, args=(started.link,), daemon=True).start()


class _Server(uvicorn.Server):
    """Calls back when it listens. Nothing that it is asked is written down: addresses are of children's
    pages."""

    def __init__(self, app: object, started: Callable[[], None]) -> None:
        config = uvicorn.Config(
            app,  # type: ignore[arg-type] # an application of three arguments, as uvicorn calls it
            log_config=None,
            log_level="critical",
            access_log=False,
            server_header=False,
            timeout_graceful_shutdown=1,
            lifespan="off",
            ws="none",
        )
        super().__init__(config)
        self._call = started

    async def startup(self, sockets: list[socket.socket] | None = None) -> None:
        await super().startup(sockets)
        self._call()


def _listen(port: int | None) -> socket.socket:
    if port is not None and not 1 <= port <= _LAST_PORT:
        raise CoachbookError(f"There is no port {port}.", f"Ports are 1 to {_LAST_PORT}.")
    listening = _first_free(HOST, [port] if port is not None else _ports(USUAL_PORT))
    if listening is None:
        raise CoachbookError(
            f"Port {port} is used by another program, or may not be used.",
            "Leave the port out, or name another.",
        )
    return listening


def _listen_in_room(place: str, port: int) -> socket.socket:
    """At the same port as on this machine, or the next that is free: the coach need not type it."""
    listening = _first_free(place, _ports(port))
    if listening is None:
        raise CoachbookError(f"The desk cannot listen at {place}.", "Leave the room out, and try it later.")
    return listening


def _ports(first: int) -> Iterable[int]:
    """The ports to try, one after the other; 0 is any that is free."""
    return (*range(first, min(first + _TRIES, _LAST_PORT)), 0)


def _first_free(host: str, ports: Iterable[int]) -> socket.socket | None:
    for each in ports:
        # Named, for asyncio lets only a TCP socket that says so send what is short at once.
        listening = socket.socket(socket.AF_INET, socket.SOCK_STREAM, socket.IPPROTO_TCP)
        try:
            listening.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
            listening.bind((host, each))
            listening.listen()  # two may be bound to the same port, but only one listens
        except OSError:
            listening.close()
        else:
            return listening
    return None


_TOWARDS = ("192.0.2.1", "10.42.0.2", "192.168.137.2", "192.168.2.2")
"""Where a way is asked for, the usual one first: an address that nobody has (RFC 5737), and, where there is
no way out, those that Linux, Windows and macOS give to guests of a network of the laptop's own (from memory,
no source)."""


def local_address() -> str:
    """Such as "192.168.1.20": of several, the one from which the way leads out. Nothing is sent to find it.

    Raises CoachbookError if this machine is in no local network, or straight in the open Internet.
    """
    found = next(filter(None, map(_address_towards, _TOWARDS)), "")
    if not found:
        raise CoachbookError(
            "This machine is in no local network, so no tablet can reach it.",
            "Join the network of the room first, or leave the room out.",
        )
    if ipaddress.ip_address(found).is_global:
        raise CoachbookError(
            f"This machine's address, {found}, can be reached from the whole Internet.",
            "Join a network of your own first, or leave the room out.",
        )
    return found


def _address_towards(other: str) -> str:
    """The address of this machine on the way to another; "" if there is no way."""
    with closing(socket.socket(socket.AF_INET, socket.SOCK_DGRAM)) as asking:
        try:
            asking.connect((other, 9))  # of a datagram socket this only chooses the way
            found = str(asking.getsockname()[0])
        except OSError:
            return ""
    address = ipaddress.ip_address(found)
    return "" if address.is_loopback or address.is_unspecified else found

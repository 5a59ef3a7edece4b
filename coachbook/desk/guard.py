"""What stands before every page: only this desk's own addresses, only browsers that were let in, only
requests of reasonable size; and what each answer tells the browser to keep to.

A page of another site can neither read the desk (the cookie is SameSite=Strict) nor write to it (the Origin
of whatever writes is compared), nor reach it under a name of its own (the Host is compared: DNS rebinding).
What travels through the network of a room could be read there: under the room's address the coach is nobody.
"""

import re
from collections.abc import Callable, Collection, Mapping
from datetime import datetime
from http.cookies import CookieError, SimpleCookie

from starlette.datastructures import Headers, MutableHeaders
from starlette.responses import PlainTextResponse, Response
from starlette.types import ASGIApp, Message, Receive, Scope, Send

from coachbook.desk.sessions import COOKIE, Role, Session, Sessions

MOST_BYTES = 8 * 2**20
"""The largest upload: far more than the longest table or game that coachbook reads."""

OPEN_TO_ALL = ("/static/", "/enter/")
"""What a browser may see before it is let in: it holds nothing of the club."""

_POLICY = (
    "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self'; font-src 'self';"
    " connect-src 'self'; frame-src 'self'; object-src 'none'; base-uri 'none'; form-action 'self';"
    " frame-ancestors 'self'"
)
_HEADERS = {
    "content-security-policy": _POLICY,
    "x-content-type-options": "nosniff",
    "referrer-policy": "same-origin",
    "cross-origin-resource-policy": "same-origin",
    "cross-origin-opener-policy": "same-origin",
    "permissions-policy": "camera=(), geolocation=(), microphone=()",
}
_READING = ("GET", "HEAD")
_NOT_WANTED = 1008
"""The code that a WebSocket is closed with where it is against the rules (RFC 6455, 7.4.1)."""
_LENGTH = re.compile("[0-9]{1,9}")


class TooLargeError(Exception):
    """A request that goes on for longer than MOST_BYTES."""


class Guard:
    """Lets through what is this desk's own. `hosts` are its addresses ("127.0.0.1:8765") with the roles that
    may be in there, and `locked` makes the page for a browser that was not let in."""

    def __init__(
        self,
        app: ASGIApp,
        hosts: Mapping[str, Collection[Role]],
        sessions: Sessions,
        now: Callable[[], datetime],
        locked: Callable[[Collection[Role]], Response],
    ) -> None:
        self._app = app
        self._hosts = hosts
        self._sessions = sessions
        self._now = now
        self._locked = locked

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Answer one request, or hand it on with the `session` of its browser, and the `roles` that may be in
        at its address."""
        if scope["type"] == "lifespan":
            await self._app(scope, receive, send)
            return
        if scope["type"] != "http":
            await send({"type": "websocket.close", "code": _NOT_WANTED})
            return
        refused = self._refused(scope)
        answer = refused if refused is not None else self._app
        is_static = scope["path"].startswith("/static/") and refused is None
        await answer(scope, _limited(receive), _with_headers(send, may_be_kept=is_static))

    def _refused(self, scope: Scope) -> Response | None:
        headers = Headers(scope=scope)
        host = headers.get("host", "")
        if host not in self._hosts:
            return PlainTextResponse("This is not an address of the desk.", 421)
        if scope["method"] not in _READING and headers.get("origin") != f"http://{host}":
            return PlainTextResponse("The desk takes nothing from another page.", 403)
        length = headers.get("content-length", "0")
        if not _LENGTH.fullmatch(length) or int(length) > MOST_BYTES:
            return too_large()
        roles = scope["roles"] = self._hosts[host]
        scope["session"] = self._session(headers, roles)
        if scope["session"] is None and not scope["path"].startswith(OPEN_TO_ALL):
            return self._locked(roles)
        return None

    def _session(self, headers: Headers, roles: Collection[Role]) -> Session | None:
        try:
            found = SimpleCookie(headers.get("cookie", "")).get(COOKIE)
        except CookieError:
            return None
        session = self._sessions.of(found.value, self._now()) if found else None
        return session if session is not None and session.role in roles else None


def too_large() -> Response:
    """What is said of an upload that is too large."""
    return PlainTextResponse(f"A file may have {MOST_BYTES // 2**20} MB at most.", 413)


def _limited(receive: Receive) -> Receive:
    read = 0

    async def limited() -> Message:
        nonlocal read
        message = await receive()
        read += len(message.get("body", b""))
        if read > MOST_BYTES:
            raise TooLargeError
        return message

    return limited


def _with_headers(send: Send, *, may_be_kept: bool) -> Send:
    async def sending(message: Message) -> None:
        if message["type"] == "http.response.start":
            headers = MutableHeaders(scope=message)
            for name, value in _HEADERS.items():
                headers[name] = value
            headers["cache-control"] = "private, max-age=3600" if may_be_kept else "no-store"
        await send(message)

    return sending

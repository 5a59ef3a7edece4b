"""How a browser comes in: a link that works once, and a cookie in its place from then on."""

from collections.abc import Awaitable, Callable, Collection

from starlette.concurrency import run_in_threadpool
from starlette.requests import Request
from starlette.responses import HTMLResponse, RedirectResponse, Response

from coachbook.desk import room_page
from coachbook.desk.asked import Desk
from coachbook.desk.sessions import COOKIE, Role
from coachbook.desk.shown import drawn


def endpoint(desk: Desk) -> Callable[[Request], Awaitable[Response]]:
    """What answers under /enter/ and the key of a link."""

    async def enter(request: Request) -> Response:
        if request.method != "GET":  # what only looks whether there is a page does not use the link up
            return Response(status_code=204)
        return await run_in_threadpool(_entered, desk, request.path_params["key"], request.scope["roles"])

    return enter


def _entered(desk: Desk, key: str, roles: Collection[Role]) -> Response:
    session = desk.sessions.enter(key, desk.now(), roles)
    if session is None:
        told = "This link was used already, or is too old. Ask for a new one, or start the desk again."
        return HTMLResponse(drawn("alone.html", title="An old link", told=told), 403)
    if session.role is not Role.COACH:
        room_page.tell_devices(desk, session)
    answer = RedirectResponse(session.page, 303)
    answer.set_cookie(COOKIE, session.key, httponly=True, samesite="strict", path="/")
    return answer

"""The desk as one application: its pages, how a browser comes in (a link that works once, and a cookie in its
place from then on), and how a request comes to a page and an answer back."""

from collections.abc import AsyncIterator, Awaitable, Callable, Collection
from importlib.resources import files
from pathlib import Path

from starlette.applications import Starlette
from starlette.concurrency import run_in_threadpool
from starlette.datastructures import UploadFile
from starlette.exceptions import HTTPException
from starlette.middleware.gzip import GZipMiddleware
from starlette.requests import Request
from starlette.responses import (
    FileResponse,
    HTMLResponse,
    PlainTextResponse,
    RedirectResponse,
    Response,
    StreamingResponse,
)
from starlette.routing import Mount, Route
from starlette.staticfiles import StaticFiles
from starlette.types import ASGIApp

from coachbook.desk import (
    begin_page,
    care_page,
    closing_page,
    ending_board_page,
    evening_page,
    five_men_page,
    groups_page,
    import_page,
    item_page,
    lesson_board_page,
    log_page,
    made_papers,
    new_term_page,
    own_positions_page,
    papers_page,
    play_out_page,
    play_page,
    played_page,
    preparing_page,
    renaming_page,
    room_page,
    saved_sheets_page,
    seat_page,
    settings_page,
    student_page,
    syllabus_page,
    tables_page,
    term_change_page,
    term_evening_page,
    term_page,
    wall_page,
    work_page,
)
from coachbook.desk.asked import Asked, Desk, Page, Upload, goto
from coachbook.desk.guard import Guard, TooLargeError, too_large
from coachbook.desk.reach import is_in_reach, may_listen
from coachbook.desk.sessions import COOKIE, Role, Session
from coachbook.desk.shown import SPRITES, drawn, refused
from coachbook.errors import CoachbookError
from coachbook.paper.board_svg import sprites

ALL_PAGES: tuple[Page, ...] = (
    *ending_board_page.PAGES,
    *five_men_page.PAGES,
    *evening_page.PAGES,
    *item_page.PAGES,
    *play_out_page.PAGES,
    *play_page.PAGES,
    *played_page.PAGES,
    *closing_page.PAGES,
    *made_papers.PAGES,
    *own_positions_page.PAGES,
    *lesson_board_page.PAGES,
    *papers_page.PAGES,
    *preparing_page.PAGES,
    *saved_sheets_page.PAGES,
    *syllabus_page.PAGES,
    *room_page.PAGES,
    *seat_page.PAGES,
    *wall_page.PAGES,
    *log_page.PAGES,
    *term_change_page.PAGES,
    *term_page.PAGES,
    *term_evening_page.PAGES,
    *begin_page.PAGES,
    *groups_page.PAGES,
    *import_page.PAGES,
    *new_term_page.PAGES,
    *renaming_page.PAGES,
    *student_page.PAGES,
    *settings_page.PAGES,
    *care_page.PAGES,
    *tables_page.PAGES,
    *work_page.PAGES,
)

_MOST_FIELDS = 2000
_KINDS = {".pdf": "application/pdf", ".csv": "text/csv", ".ics": "text/calendar", ".png": "image/png"}
_SENT_AS_THEY_ARE = ("text/event-stream", "application/*", "image/png")
"""What must not wait, and what is packed already: PDFs and copies of the book."""
_FONTS = files("fontpkg_atkinson_hyperlegible") / "files"
_FONT_FILES = {
    "text.ttf": _FONTS / "AtkinsonHyperlegible-Regular.ttf",
    "bold.ttf": _FONTS / "AtkinsonHyperlegible-Bold.ttf",
    "men.ttf": files("coachbook.paper") / "figurines.ttf",
}

Endpoint = Callable[[Request], Awaitable[Response]]


def make_app(desk: Desk) -> ASGIApp:
    """The application, with its guard before it."""
    routes = [
        Route("/static/fonts/{name}", _font),
        Route(SPRITES, _pieces),
        Mount("/static", StaticFiles(packages=[("coachbook.desk", "static")])),
        Route("/enter/{key}", _entering(desk)),
        Route("/live/{about}", _live(desk)),
        Route("/made/{key}/{kind}", _made(desk)),
        *(_route(desk, page) for page in sorted(ALL_PAGES, key=_has_values)),
    ]
    app = Starlette(
        routes=routes,
        exception_handlers={HTTPException: _http_error, TooLargeError: _too_large, Exception: _broken},
    )
    app.router.redirect_slashes = False  # an address is one of the desk's, or none
    own, port = desk.address.removeprefix("http://"), desk.address.rpartition(":")[2]
    hosts = {own: tuple(Role), f"localhost:{port}": tuple(Role)}
    if desk.room:
        hosts[desk.room.removeprefix("http://")] = (Role.HELPER, Role.BOARD)
    packed = GZipMiddleware(app, compresslevel=5, exclude_content_types=_SENT_AS_THEY_ARE)
    return Guard(packed, hosts, desk.sessions, desk.now, _locked)


def _has_values(page: Page) -> bool:
    """Whether something is put into its address: such pages come after those that are named in full."""
    return "{" in page.path


def _route(desk: Desk, page: Page) -> Route:
    async def answer(request: Request) -> Response:
        return await run_in_threadpool(_answered, page, await _asked(desk, request))

    return Route(page.path, answer, methods=[page.method])


def _answered(page: Page, asked: Asked) -> Response:
    try:
        if asked.is_coach or is_in_reach(asked, page):
            return page.handler(asked)
        error = CoachbookError("This page is the coach's.", "Go back to your own.")
        return refused(asked, error, 403)
    except CoachbookError as error:
        if asked.is_coach and page.method == "GET" and not asked.desk.has_book:
            return goto("/begin")
        return refused(asked, error)


async def _asked(desk: Desk, request: Request) -> Asked:
    form: dict[str, list[str]] = {}
    uploads: dict[str, Upload] = {}
    if request.method == "POST":
        async with request.form(max_files=4, max_fields=_MOST_FIELDS) as sent:
            for name, value in sent.multi_items():
                if isinstance(value, UploadFile):
                    uploads[name] = Upload(value.filename or "", await value.read())
                else:
                    form.setdefault(name, []).append(value)
    return Asked(
        desk=desk,
        session=request.scope["session"],
        path=request.url.path,
        values=request.path_params,
        query=dict(request.query_params),
        form=form,
        uploads=uploads,
        is_part=request.headers.get("x-part") == "yes",
    )


def _live(desk: Desk) -> Endpoint:
    async def events(request: Request) -> Response:
        session, about = request.scope["session"], request.path_params["about"]
        if not await run_in_threadpool(may_listen, desk, session, about):
            return PlainTextResponse("This is not for a tablet.", 403)
        return StreamingResponse(_while_in(desk, session, about), media_type="text/event-stream")

    return events


async def _while_in(desk: Desk, session: Session, about: str) -> AsyncIterator[str]:
    """What a browser is sent, until it is shut out."""
    async for each in desk.live.listen(about):
        if desk.sessions.of(session.key, desk.now()) is None:
            return
        yield each


def _made(desk: Desk) -> Endpoint:
    async def file(request: Request) -> Response:
        is_coach = request.scope["session"].role is Role.COACH
        path = desk.made.get(request.path_params["key"]) if is_coach else None
        if path is None or not path.is_file():
            return _gone()
        kind = _KINDS.get(path.suffix.lower(), "application/octet-stream")
        how = "inline" if kind == "application/pdf" else "attachment"
        return FileResponse(path, media_type=kind, filename=path.name, content_disposition_type=how)

    return file


async def _font(request: Request) -> Response:
    file = _FONT_FILES.get(request.path_params["name"])
    return FileResponse(Path(str(file)), media_type="font/ttf") if file else _gone()


async def _pieces(_: Request) -> Response:
    return Response(sprites(), media_type="image/svg+xml")


def _gone() -> Response:
    return HTMLResponse(drawn("alone.html", title="Not here", told="There is no such page."), 404)


def _locked(roles: Collection[Role]) -> Response:
    told = "Open the link that stands in the terminal where the desk was started. It lets one browser in."
    if Role.COACH not in roles:
        told = "The coach can let this tablet in: with the code on the page of the desk that is for tablets."
    return HTMLResponse(drawn("alone.html", title="This is coachbook's desk", told=told), 403)


async def _http_error(_: Request, error: Exception) -> Response:
    status = error.status_code if isinstance(error, HTTPException) else 400
    if status == 404:
        return _gone()
    return PlainTextResponse("The desk does not understand this.", status)


async def _too_large(_: Request, __: Exception) -> Response:
    return too_large()


async def _broken(_: Request, __: Exception) -> Response:
    return PlainTextResponse("The desk could not answer.", 500)


def _entering(desk: Desk) -> Callable[[Request], Awaitable[Response]]:
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

"""The desk as one application: its pages, and how a request comes to one and an answer back."""

from collections.abc import Awaitable, Callable
from importlib.resources import files
from pathlib import Path

from starlette.applications import Starlette
from starlette.concurrency import run_in_threadpool
from starlette.datastructures import UploadFile
from starlette.exceptions import HTTPException
from starlette.middleware.gzip import GZipMiddleware
from starlette.requests import Request
from starlette.responses import FileResponse, HTMLResponse, PlainTextResponse, Response, StreamingResponse
from starlette.routing import Mount, Route
from starlette.staticfiles import StaticFiles
from starlette.types import ASGIApp

from coachbook.desk import (
    begin_page,
    entering,
    evening_page,
    groups_page,
    import_page,
    new_term_page,
    renaming_page,
    student_page,
    work_page,
)
from coachbook.desk.asked import Asked, Desk, Page, Upload
from coachbook.desk.guard import Guard, TooLargeError, too_large
from coachbook.desk.shown import SPRITES, drawn, refused
from coachbook.errors import CoachbookError
from coachbook.paper.board_svg import sprites

ALL_PAGES: tuple[Page, ...] = (
    *begin_page.PAGES,
    *evening_page.PAGES,
    *groups_page.PAGES,
    *import_page.PAGES,
    *new_term_page.PAGES,
    *renaming_page.PAGES,
    *student_page.PAGES,
    *work_page.PAGES,
)

_MOST_FIELDS = 2000
_KINDS = {".pdf": "application/pdf", ".csv": "text/csv", ".ics": "text/calendar", ".png": "image/png"}
_FONTS = files("fontpkg_atkinson_hyperlegible") / "files"
_FONT_FILES = {
    "text.ttf": "AtkinsonHyperlegible-Regular.ttf",
    "bold.ttf": "AtkinsonHyperlegible-Bold.ttf",
}

Endpoint = Callable[[Request], Awaitable[Response]]


def make_app(desk: Desk) -> ASGIApp:
    """The application, with its guard before it."""
    routes = [
        Route("/static/fonts/{name}", _font),
        Route(SPRITES, _pieces),
        Mount(
            "/static", GZipMiddleware(StaticFiles(packages=[("coachbook.desk", "static")]), minimum_size=500)
        ),
        Route("/enter/{key}", entering.endpoint(desk)),
        Route("/live/{about}", _live(desk)),
        Route("/made/{key}/{kind}", _made(desk)),
        *(_route(desk, page) for page in ALL_PAGES),
    ]
    app = Starlette(
        routes=routes,
        exception_handlers={HTTPException: _http_error, TooLargeError: _too_large, Exception: _broken},
    )
    hosts = [address.removeprefix("http://") for address in (desk.address, desk.room) if address]
    port = desk.address.rpartition(":")[2]
    return Guard(app, {*hosts, f"localhost:{port}"}, desk.sessions, desk.now, _locked)


def _route(desk: Desk, page: Page) -> Route:
    async def answer(request: Request) -> Response:
        asked = await _asked(desk, request)
        if not asked.is_coach and not page.for_helpers:
            error = CoachbookError("This page is the coach's.", "On a tablet there is tonight's page only.")
            return refused(asked, error, 403)
        return await run_in_threadpool(_answered, page, asked)

    return Route(page.path, answer, methods=[page.method])


def _answered(page: Page, asked: Asked) -> Response:
    try:
        return page.handler(asked)
    except CoachbookError as error:
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
        method=request.method,
        values=request.path_params,
        query=dict(request.query_params),
        form=form,
        uploads=uploads,
        is_part=request.headers.get("x-part") == "yes",
    )


def _live(desk: Desk) -> Endpoint:
    async def events(request: Request) -> Response:
        stream = desk.live.listen(request.path_params["about"])
        return StreamingResponse(stream, media_type="text/event-stream")

    return events


def _made(desk: Desk) -> Endpoint:
    async def file(request: Request) -> Response:
        path = desk.made.get(request.path_params["key"])
        if path is None or not path.is_file():
            return _gone()
        kind = _KINDS.get(path.suffix.lower(), "application/octet-stream")
        how = "inline" if kind == "application/pdf" else "attachment"
        return FileResponse(path, media_type=kind, filename=path.name, content_disposition_type=how)

    return file


async def _font(request: Request) -> Response:
    name = _FONT_FILES.get(request.path_params["name"])
    return FileResponse(Path(str(_FONTS / name)), media_type="font/ttf") if name else _gone()


async def _pieces(_: Request) -> Response:
    return Response(sprites(), media_type="image/svg+xml")


def _gone() -> Response:
    return HTMLResponse(drawn("alone.html", title="Not here", told="There is no such page."), 404)


def _locked() -> Response:
    told = "Open the link that stands in the terminal where the desk was started. It lets one browser in."
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

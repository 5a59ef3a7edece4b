"""A page that is there in tests alone: a board in one of its modes, and what every page has around it."""

from starlette.responses import HTMLResponse, Response

from coachbook.desk.asked import Asked, Page
from coachbook.desk.shown import part
from coachbook.model.position import Marks, Position

_AROUND = """<!doctype html><html lang="en"><head><meta charset="utf-8"><title>A board</title>
<meta name="viewport" content="width=device-width, initial-scale=1">
<link rel="icon" href="/static/icon.svg" type="image/svg+xml">
<link rel="stylesheet" href="/static/desk.css"><script type="module" src="/static/desk.js"></script></head>
<body data-me="1"><main id="main"><h1>A board</h1>{board}</main>
<p id="told" class="told" role="status" aria-live="polite"></p></body></html>"""


def show(asked: Asked) -> Response:
    """A board of the position, the mode and the side below that the address names."""
    position = Position(asked.query["fen"])
    below = asked.query.get("below", "white")
    board = part("board_grid.html", "board_grid", position, asked.query["mode"], "Board", below, Marks())
    return HTMLResponse(_AROUND.format(board=board))


TRIAL = Page("/trial", show)

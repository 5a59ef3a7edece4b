"""The lesson board, for a whole class: a line of a unit move by move, and what the class would play."""

from collections.abc import Mapping

from starlette.responses import Response

from coachbook.desk.asked import Asked, Page
from coachbook.desk.ending_board_page import solve_first
from coachbook.desk.shown import part, shown
from coachbook.desk.syllabus_page import letters_of, unit_asked, unit_path
from coachbook.errors import CoachbookError
from coachbook.workflows.ending_board import is_ready
from coachbook.workflows.lesson_board import ask_class
from coachbook.workflows.unit_view import shown_moments


def show(asked: Asked) -> Response:
    """A position of a line that is shown, with what to say."""
    unit, line, move = unit_asked(asked), asked.number("line"), asked.number("move")
    moments = shown_moments(unit, line, letters_of(asked))
    if move >= len(moments):
        raise CoachbookError("This line has no such move.", "Go back to the page of its unit.")
    base = f"{unit_path(unit)}/show/{line}"
    values = {
        "unit": unit,
        "line": line,
        "lines": len(unit.shows),
        "moments": moments,
        "move": move,
        "base": base,
        "ask": f"{unit_path(unit)}/ask/{line}/{move}" if move < len(moments) - 1 else "",
        "back": unit_path(unit),
    }
    return _drawn(asked, "moment", values)


def ask(asked: Asked) -> Response:
    """What would the class play now? And what its move does, once it is made on the board (`uci`) or in
    writing (`move`)."""
    unit, line, move = unit_asked(asked), asked.number("line"), asked.number("move")
    uci, written = asked.query.get("uci", ""), asked.query.get("move", "")
    found = ask_class(unit, line, move, letters_of(asked), uci, written)
    here = f"{unit_path(unit)}/ask/{line}/{move}"
    if not is_ready(found.position.fen):
        return solve_first(asked, found.position.fen, unit_path(unit), here)
    base = f"{unit_path(unit)}/show/{line}"
    values = {"unit": unit, "found": found, "here": here, "base": base, "move": move, "back": unit_path(unit)}
    return _drawn(asked, "asked_class", values)


def _drawn(asked: Asked, macro: str, values: Mapping[str, object]) -> Response:
    if asked.is_part:
        return Response(part("lesson_moment.html", macro, values), media_type="text/html")
    return shown(asked, "lesson_board.html", macro=macro, values=values)


_UNIT = "/syllabus/{unit}"

PAGES = (
    Page(f"{_UNIT}/show/{{line:int}}/{{move:int}}", show),
    Page(f"{_UNIT}/ask/{{line:int}}/{{move:int}}", ask),
)

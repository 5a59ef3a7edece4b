"""A play-out of a student: how it ended, or its moves made on the board, judged as they come."""

from starlette.responses import JSONResponse, Response

from coachbook.desk.asked import Asked, Page, goto
from coachbook.desk.evening_page import EVENING, evening_path, tell_row
from coachbook.desk.shown import shown
from coachbook.errors import CoachbookError
from coachbook.model.position import Position
from coachbook.wording.conversations import judged_in_words
from coachbook.wording.people import play_out_logged, play_out_task
from coachbook.workflows.evening_grid import evening_row
from coachbook.workflows.playing import judge, last_played, start_of, touch_play_out


def show(asked: Asked) -> Response:
    """The card's position, what was to be reached, and what is logged of it."""
    book, group, on = asked.book(), asked.number("group"), asked.day("on")
    student, card = asked.number("student"), str(asked.values["card"])
    row = evening_row(book, group, on, student)
    start = start_of(asked.syllabus, card, None, None)
    last = last_played(book, student, start.card, on)
    return shown(
        asked,
        "play_out.html",
        student=row.student,
        start=start,
        position=Position(start.play_out.fen),
        task=play_out_task(start.play_out),
        last=play_out_logged(last) if last else "",
        base=evening_path(group, on),
        here=_path(asked),
    )


def judged(asked: Asked) -> Response:
    """What is to be said of the moves so far, for the page's own script."""
    start = start_of(asked.syllabus, str(asked.values["card"]), None, None)
    found = judge(asked.book().letters, start, asked.query.get("moves", ""))
    return JSONResponse({"told": judged_in_words(found) if found else []})


def keep(asked: Asked) -> Response:
    """Log it once, and show what is to be said of it."""
    book, group, on = asked.book(), asked.number("group"), asked.day("on")
    student = asked.number("student")
    told = asked.text("moves") or asked.text("told")
    if not told.strip():
        raise CoachbookError("Nothing was said of the play-out.", "Say how it ended, or make its moves.")
    start = start_of(asked.syllabus, str(asked.values["card"]), None, None)
    replaces = asked.text("which") == "instead"
    touch_play_out(book, asked.touch(), student, start, told, on, replaces=replaces)
    tell_row(asked, group, on, student)
    return goto(_path(asked))


def _path(asked: Asked) -> str:
    base = evening_path(asked.number("group"), asked.day("on"))
    return f"{base}/play-out/{asked.number('student')}/{asked.values['card']}"


_CARD = f"{EVENING}/play-out/{{student:int}}/{{card}}"

PAGES = (
    Page(_CARD, show),
    Page(_CARD, keep, "POST"),
    Page(f"{_CARD}/judged", judged),
)

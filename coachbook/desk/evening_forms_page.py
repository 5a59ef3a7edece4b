"""What the forms below tonight's grid keep: a note, and a guest."""

from starlette.responses import Response

from coachbook.desk.asked import Asked, Page, goto
from coachbook.desk.evening_page import EVENING, evening_path, tell_row
from coachbook.errors import CoachbookError
from coachbook.model.facts import Impression
from coachbook.workflows.evening_grid import touch_guest, touch_note


def note(asked: Asked) -> Response:
    """What the coach saw of a student."""
    sign = asked.text("impression")
    impression = Impression.__members__.get(sign or Impression.NONE.name)
    if impression is None:
        raise CoachbookError("The page sent no sign.", "Load the page again.")
    touch_note(
        asked.book(),
        asked.syllabus,
        asked.touch(),
        asked.number("student"),
        asked.day("on"),
        asked.text("note"),
        unit=asked.text("unit"),
        impression=impression,
    )
    return _to_row(asked)


def guest(asked: Asked) -> Response:
    """A student of another group was there."""
    group, student = asked.number("group"), asked.number("student")
    touch_guest(asked.book(), asked.touch(), group, student, asked.day("on"))
    return _to_row(asked)


def _to_row(asked: Asked) -> Response:
    group, on, student = asked.number("group"), asked.day("on"), asked.number("student")
    tell_row(asked, group, on, student)
    return goto(f"{evening_path(group, on)}#row-{student}")


PAGES = (Page(f"{EVENING}/note", note, "POST"), Page(f"{EVENING}/guest", guest, "POST"))

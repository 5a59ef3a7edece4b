"""Tonight: an evening of a group, with its papers, its register, its answers, play-outs, notes and guests."""

from datetime import date

from starlette.responses import Response

from coachbook.desk.asked import Asked, Page, goto
from coachbook.desk.reach import OF_TABLETS
from coachbook.desk.shown import part, shown
from coachbook.errors import CoachbookError
from coachbook.model.facts import Impression
from coachbook.wording.counting import shown_time
from coachbook.wording.people import changed_by, play_out_logged, slip_in_words
from coachbook.wording.plans import slot_in_words
from coachbook.workflows.evening_grid import (
    GridRow,
    evening_row,
    touch_all_here,
    touch_all_right,
    touch_answers,
    touch_attendance,
    touch_guest,
    touch_note,
)
from coachbook.workflows.evening_view import (
    EveningView,
    could_be_guests,
    evening_view,
    groups_on,
    nearest_evening,
)
from coachbook.workflows.members import groups_of

_STATES = {"here": (True, False), "late": (True, True), "absent": (False, False)}
_MARKS = {"right": "\N{CHECK MARK}", "wrong": "\N{BALLOT X}", "blank": "-"}


def first(asked: Asked) -> Response:
    """The evening that is nearest or still open; before there is one, the page that leads to it."""
    if not asked.desk.has_book:
        return goto("/begin")
    book = asked.book()
    on = asked.session.on or nearest_evening(book, asked.today)
    if not groups_of(book):
        return goto("/begin")
    if on is None:
        return shown(asked, "no_evening.html")
    return _evening(asked, groups_on(book, on)[0].id, on)


def show(asked: Asked) -> Response:
    """The evening of a day, of one group."""
    return _evening(asked, asked.number("group"), asked.day("on"))


def register(asked: Asked) -> Response:
    """Who was there: one touch for one student."""
    state = _STATES.get(asked.text("state"))
    if state is None:
        raise CoachbookError("The page sent no state.", "Load the page again.")
    present, late = state
    group, student = asked.number("group"), asked.number("student")
    _check_held(asked)
    touch_attendance(asked.book(), asked.touch(), group, student, asked.day("on"), present=present, late=late)
    return _row(asked)


def mark(asked: Asked) -> Response:
    """One item as right, wrong or blank."""
    sign = _MARKS.get(asked.text("mark"))
    if sign is None:
        raise CoachbookError("The page sent no mark.", "Load the page again.")
    written = {asked.number("item"): sign}
    _check_held(asked)
    student, sheet = asked.number("student"), asked.text("sheet")
    touch_answers(asked.book(), asked.touch(), student, sheet, written, asked.day("on"))
    return _row(asked)


def all_right(asked: Asked) -> Response:
    """All items of a student's sheet as right."""
    _check_held(asked)
    student, sheet = asked.number("student"), asked.text("sheet")
    touch_all_right(asked.book(), asked.touch(), student, sheet, asked.day("on"))
    return _row(asked)


def all_here(asked: Asked) -> Response:
    """Everybody of the group was there of whom it is not logged yet."""
    _check_held(asked)
    group, on = asked.number("group"), asked.day("on")
    touch_all_here(asked.book(), asked.touch(), group, on)
    return goto(evening_path(group, on))


def _check_held(asked: Asked) -> None:
    """Raises CoachbookError for an evening that is to come: nobody can have been there."""
    if asked.day("on") > asked.today:
        raise CoachbookError("This evening is still to come.", "Log it when it was held.")


def guests(asked: Asked) -> Response:
    """Who else could have been there."""
    group, on = asked.number("group"), asked.day("on")
    others = could_be_guests(asked.book(), group, on)
    return shown(asked, "guests.html", base=evening_path(group, on), others=others)


def evening_path(group: int, on: date) -> str:
    """The address of a group's evening."""
    return f"/evening/{on}/{group}"


def tell_row(asked: Asked, group: int, on: date, student: int) -> str:
    """A student's row as it is now, sent to all who look at the evening, too."""
    row = evening_row(asked.book(), group, on, student, asked.desk.laid_out.of(group, on))
    base, by = evening_path(group, on), changed_by(asked.session.tablet)
    own = ""
    for for_coach in (True, False):
        told = part("evening_row.html", "row", base, row, _words(row), for_coach)
        about_it = about(group, on, for_coach=for_coach)
        asked.desk.live.tell(about_it, f"row-{student}", told, asked.session.number, by)
        own = told if for_coach == asked.is_coach else own
    return own


def about(group: int, on: date, *, for_coach: bool) -> str:
    """What the parts of an evening's page are about, for `Live`."""
    return f"{on}.{group}" if for_coach else f"{on}.{group}.{OF_TABLETS}"


def _row(asked: Asked) -> Response:
    group, on, student = asked.number("group"), asked.day("on"), asked.number("student")
    told = tell_row(asked, group, on, student)
    if asked.is_part:
        return Response(told, media_type="text/html")
    return goto(f"{evening_path(group, on)}#row-{student}")


def _evening(asked: Asked, group: int, on: date) -> Response:
    view = evening_view(asked.book(), asked.syllabus, group, on, asked.desk.laid_out.of(group, on))
    return shown(
        asked,
        "evening.html",
        view=view,
        base=evening_path(group, on),
        about=about(group, on, for_coach=asked.is_coach),
        planned=_planned(asked, view),
        rows=[(row, _words(row)) for row in view.rows],
        impressions=[each for each in Impression if each],
        paths={each.id: evening_path(each.id, on) for each in view.groups},
        is_ahead=on > asked.today,
        closed=shown_time(view.closed_at.astimezone()) if view.closed_at else "",
        all_open=any(row.attendance is None for row in view.rows),
    )


def _planned(asked: Asked, view: EveningView) -> list[tuple[int, str]]:
    """The minutes of each slot, and its words."""
    slots = view.session.slots if view.session is not None else ()
    return [(slot.minutes, slot_in_words(slot, asked.syllabus.titles)) for slot in slots]


def _words(row: GridRow) -> dict[str, str]:
    """How each card of a row was played, by its code, and each item's slip, by its number."""
    played = {card.code: play_out_logged(card.played) for card in row.cards if card.played}
    return played | {str(cell.item): slip_in_words(cell.slip) for cell in row.cells if cell.slip}


EVENING = "/evening/{on}/{group:int}"
"""The address of an evening of a group."""


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


PAGES = (
    Page("/", first, for_helpers=True),
    Page(EVENING, show, for_helpers=True),
    Page(f"{EVENING}/guest", guests),
    Page(f"{EVENING}/register-all", all_here, "POST", for_helpers=True),
    Page(f"{EVENING}/register/{{student:int}}", register, "POST", for_helpers=True),
    Page(f"{EVENING}/mark/{{student:int}}", mark, "POST", for_helpers=True),
    Page(f"{EVENING}/all-right/{{student:int}}", all_right, "POST", for_helpers=True),
    Page(f"{EVENING}/note", note, "POST"),
    Page(f"{EVENING}/guest", guest, "POST"),
)

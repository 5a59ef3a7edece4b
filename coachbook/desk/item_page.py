"""One item of a student's sheet: what it asks, what is right, and what the student wrote."""

from starlette.responses import Response

from coachbook.desk.asked import Asked, Page, goto
from coachbook.desk.evening_page import EVENING, evening_path, tell_row
from coachbook.desk.shown import shown
from coachbook.model.worksheet import AnswerForm
from coachbook.wording.exercises import printed_options
from coachbook.wording.people import slip_in_words
from coachbook.workflows.evening_grid import item_view, touch_answers

_ON_THE_BOARD = (AnswerForm.MOVES, AnswerForm.LINE)


def show(asked: Asked) -> Response:
    """The item with its board, and what is logged of it."""
    book, group, on = asked.book(), asked.number("group"), asked.day("on")
    student, item, beside = asked.number("student"), asked.number("item"), str(asked.values.get("sheet", ""))
    view = item_view(book, group, on, student, item, book.settings.men, beside)
    base = evening_path(group, on)
    of = f"/of/{beside}" if beside else ""
    answer = view.exercise.answer
    return shown(
        asked,
        "item.html",
        view=view,
        base=base,
        here=f"{base}/item/{student}/{item}{of}",
        before=f"{base}/item/{student}/{item - 1}{of}" if item > 1 else "",
        after=f"{base}/item/{student}/{item + 1}{of}" if item < view.items else "",
        options=printed_options(answer) if answer.options else (),
        slip=slip_in_words(view.cell.slip) if view.cell.slip else "",
        moves=answer.form in _ON_THE_BOARD,
        is_line=answer.form is AnswerForm.LINE,
    )


def keep(asked: Asked) -> Response:
    """Mark what the student wrote by the rules, or as the coach marked it, and show what it was."""
    book, group, on = asked.book(), asked.number("group"), asked.day("on")
    student, item = asked.number("student"), asked.number("item")
    written = {item: asked.text("mark") or asked.text("written")}
    beside = str(asked.values.get("sheet", ""))
    touch_answers(book, asked.touch(), student, beside or asked.text("sheet"), written, on)
    tell_row(asked, group, on, student)
    return goto(f"{evening_path(group, on)}/item/{student}/{item}{f'/of/{beside}' if beside else ''}")


_ITEM = f"{EVENING}/item/{{student:int}}/{{item:int}}"

_BESIDE = f"{_ITEM}/of/{{sheet}}"
"""The same of a sheet beside the evening's own."""

PAGES = tuple(
    Page(path, handler, method, for_helpers=True)
    for path in (_ITEM, _BESIDE)
    for method, handler in (("GET", show), ("POST", keep))
)

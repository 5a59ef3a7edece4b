"""The saved sheets: a list of them, and one with its items, answers and reasons, to be printed again."""

from starlette.responses import Response

from coachbook.desk.asked import Asked, Page, goto
from coachbook.desk.evening_page import evening_path
from coachbook.desk.jobs import Progress
from coachbook.desk.made_papers import MadePapers, make_papers
from coachbook.desk.paper_choice import BOARDS, chosen_paper, first_choice
from coachbook.desk.papers_page import as_made
from coachbook.desk.shown import shown
from coachbook.errors import CoachbookError
from coachbook.model.print_options import PaperOptions
from coachbook.workflows.evening_view import check_to_mark, groups_to_mark
from coachbook.workflows.members import students_of
from coachbook.workflows.paper_orders import order_again
from coachbook.workflows.sheet_shown import sheet_view, sheets_listed

_MOST = 200


def show_list(asked: Asked) -> Response:
    """The sheets that were made last, or those of a student."""
    book, student = asked.book(), asked.query.get("student", "")
    if not (student == "" or (student.isascii() and student.isdecimal())):
        raise CoachbookError("There is no such student.", "Choose one from the list.")
    number = int(student[:9]) if student else None
    return shown(
        asked,
        "saved_sheets.html",
        sheets=sheets_listed(book, number, _MOST),
        students=students_of(book),
        student=number,
        titles=asked.syllabus.titles,
        most=_MOST,
    )


def show_sheet(asked: Asked) -> Response:
    """A sheet item by item."""
    book = asked.book()
    view = sheet_view(book, str(asked.values["code"]), book.letters or PaperOptions().letters)
    return shown(
        asked,
        "saved_sheet.html",
        view=view,
        boards=BOARDS,
        chosen=first_choice(asked),
        settings=book.settings,
        groups=groups_to_mark(book, view.saved.code, asked.today),
        today=asked.today,
    )


def mark_on_evening(asked: Asked) -> Response:
    """Lay the sheet beside those of a group's evening, and go to its page."""
    group, on, code = asked.number("group"), asked.typed_day("on"), str(asked.values["code"])
    kept = check_to_mark(asked.book(), code, group, on, asked.today, sure=bool(asked.text("sure")))
    asked.desk.laid_out.lay(group, on, kept)
    return goto(evening_path(group, on))


def print_again(asked: Asked) -> Response:
    """Print sheets again."""
    code = str(asked.values["code"])
    options = chosen_paper(asked, asked.book().settings)

    def make(_: Progress) -> MadePapers:
        return as_made(order_again(asked.book(), [code], options), options)

    return make_papers(asked, f"Sheet {code}", f"/papers/sheet/{code}", make)


PAGES = (
    Page("/papers/sheets", show_list),
    Page("/papers/sheet/{code}", show_sheet),
    Page("/papers/sheet/{code}/print", print_again, "POST"),
    Page("/papers/sheet/{code}/mark", mark_on_evening, "POST"),
)

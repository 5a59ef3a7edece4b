"""The groups of the club, and each of them: who stands where, who is in it, and what it is called."""

from starlette.responses import Response

from coachbook.club.book import Book
from coachbook.desk.asked import Asked, Page, goto
from coachbook.desk.jobs import Progress
from coachbook.desk.shown import shown
from coachbook.desk.work_page import at_work
from coachbook.errors import CoachbookError
from coachbook.model.progress import Standing
from coachbook.model.settings import paper_options
from coachbook.wording.people import STANDING_LETTERS, STANDINGS
from coachbook.workflows.members import (
    add_teaching_group,
    group_with,
    groups_of,
    put_members,
    remove_teaching_group,
    rename_teaching_group,
    students_of,
    take_members,
    what_hangs_on,
)
from coachbook.workflows.pasted_names import add_to_group
from coachbook.workflows.reports import group_overview, print_overview
from coachbook.workflows.student_view import group_view


def list_all(asked: Asked) -> Response:
    """The groups with their sizes, and who is in none."""
    book = asked.book()
    alone = [student for student in students_of(book) if not student.groups]
    return shown(asked, "groups.html", club=book.club_name, groups=groups_of(book), alone=alone)


def add(asked: Asked) -> Response:
    """A group, still empty."""
    return goto(group_path(add_teaching_group(asked.book(), asked.text("name")).id))


def show(asked: Asked) -> Response:
    """Students by units, and what can be done with the group."""
    every_unit = asked.query.get("units") == "all"
    view = group_view(asked.book(), asked.syllabus, asked.number("group"), asked.today, every_unit=every_unit)
    return shown(
        asked,
        "group.html",
        view=view,
        every_unit=every_unit,
        letters=STANDING_LETTERS,
        legend=[(each, STANDING_LETTERS[each], STANDINGS[each]) for each in Standing],
    )


def show_term(asked: Asked) -> Response:
    """How the term goes: who has to catch up, what goes wrong most, and evening by evening."""
    book = asked.book()
    group = group_with(book, asked.number("group"))
    seen = group_overview(book, asked.syllabus, group.name, asked.today)
    return shown(asked, "group_term.html", group=group, seen=seen)


def add_students(asked: Asked) -> Response:
    """New students, a line each."""
    add_to_group(asked.book(), asked.number("group"), asked.text("names"))
    return _back(asked)


def put(asked: Asked) -> Response:
    """Students who are in the club already."""
    book = asked.book()
    put_members(book, _ticked(asked, book), group_with(book, asked.number("group")).name)
    return _back(asked)


def take(asked: Asked) -> Response:
    """Out of the group; they stay in the club."""
    book = asked.book()
    take_members(book, _ticked(asked, book), group_with(book, asked.number("group")).name)
    return _back(asked)


def rename(asked: Asked) -> Response:
    """Another name for the group."""
    book = asked.book()
    rename_teaching_group(book, group_with(book, asked.number("group")).name, asked.text("name"))
    return _back(asked)


def ask_to_remove(asked: Asked) -> Response:
    """What would go with the group, and what stays."""
    book = asked.book()
    group = group_with(book, asked.number("group"))
    held = what_hangs_on(book, group.name)
    nowhere = [student.name for student in held.students if student.groups == (group.name,)]
    return shown(asked, "group_removal.html", group=group, held=held, nowhere=nowhere)


def remove(asked: Asked) -> Response:
    """The group goes; its students stay."""
    book = asked.book()
    remove_teaching_group(book, group_with(book, asked.number("group")).name, asked.desk.now())
    return goto("/groups")


def print_group(asked: Asked) -> Response:
    """The overview as a PDF, in the club's folder for papers."""
    today, syllabus = asked.today, asked.syllabus
    group = group_with(asked.book(), asked.number("group"))

    def make(_: Progress) -> str:
        book = asked.book()
        seen = group_overview(book, syllabus, group.name, today)
        return asked.desk.made.add(print_overview(book, seen, None, paper_options(book.settings, None)))

    return at_work(asked, "The overview", group_path(group.id), make)


def group_path(number: int) -> str:
    """The address of a group."""
    return f"/groups/{number}"


def _back(asked: Asked) -> Response:
    return goto(group_path(asked.number("group")))


def _ticked(asked: Asked, book: Book) -> list[str]:
    names = [student.name for student in students_of(book) if str(student.id) in asked.all("student")]
    if not names:
        raise CoachbookError("Nobody is ticked.", "Tick one student or more.")
    return names


_GROUP = "/groups/{group:int}"

PAGES = (
    Page("/groups", list_all),
    Page("/groups", add, "POST"),
    Page(_GROUP, show),
    Page(f"{_GROUP}/term", show_term),
    Page(f"{_GROUP}/students", add_students, "POST"),
    Page(f"{_GROUP}/put", put, "POST"),
    Page(f"{_GROUP}/take", take, "POST"),
    Page(f"{_GROUP}/rename", rename, "POST"),
    Page(f"{_GROUP}/remove", ask_to_remove),
    Page(f"{_GROUP}/remove", remove, "POST"),
    Page(f"{_GROUP}/overview", print_group, "POST"),
)

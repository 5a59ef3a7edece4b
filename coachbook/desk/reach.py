"""What a tablet in the room may reach: one evening, and of the club only who and what belongs to it; and one
that is a board its games, nothing else."""

from coachbook.desk.asked import Asked, Desk, Page
from coachbook.desk.sessions import Role, Session
from coachbook.workflows.evening_view import is_of_evening
from coachbook.workflows.members import open_club

GAME = "game."
"""How the name of what a board listens to begins: the number of a game comes after it."""

OF_TABLETS = "tablet"
"""How the name of what a tablet listens to ends: its parts are shown without the coach's notes."""


def is_in_reach(asked: Asked, page: Page) -> bool:
    """Whether a page may answer what a tablet asks: a helper's if it is for helpers, the evening in its
    address is the helper's, its group has it, and the student and the sheet are of that evening; a board's if
    it is for boards, until its evening is over. Raises CoachbookError if the book cannot be used, or a number
    is none."""
    if asked.is_board:
        return page.for_boards and asked.session.on is not None and asked.today <= asked.session.on
    return page.for_helpers and _is_of_helper(asked)


def _is_of_helper(asked: Asked) -> bool:
    if "on" not in asked.values:
        return True
    if "group" not in asked.values or str(asked.values["on"]) != str(asked.session.on):
        return False
    student = asked.number("student") if _is_named(asked, "student") else None
    sheet = str(asked.values.get("sheet", asked.text("sheet"))) if _is_named(asked, "sheet") else None
    group, on = asked.number("group"), asked.day("on")
    beside = asked.desk.laid_out.of(group, on)
    return is_of_evening(asked.book(), group, on, student, sheet, beside)


def may_listen(desk: Desk, session: Session, about: str) -> bool:
    """Whether a browser may be sent the parts of pages that are about something. Raises CoachbookError if the
    book cannot be used."""
    if session.role is Role.COACH:
        return True
    if session.role is Role.BOARD:
        return about.startswith(GAME)  # that something has changed, and not what
    match about.split("."):
        case [on, group, kind] if session.on and on == str(session.on) and kind == OF_TABLETS:
            return group.isdecimal() and is_of_evening(open_club(desk.book), int(group[:9]), session.on)
    return False


def _is_named(asked: Asked, what: str) -> bool:
    return what in asked.values or what in asked.form

"""What a helper's tablet may reach: one evening, and of the club only who and what belongs to it."""

from coachbook.desk.asked import Asked, Desk
from coachbook.desk.sessions import Role, Session
from coachbook.workflows.evening_view import is_of_evening
from coachbook.workflows.members import open_club

OF_TABLETS = "tablet"
"""How the name of what a tablet listens to ends: its parts are shown without the coach's notes."""


def is_in_reach(asked: Asked) -> bool:
    """Whether a page for helpers may answer what a helper asks: the evening in its address is the helper's,
    its group has it, and the student and the sheet are of that evening. Raises CoachbookError if the book
    cannot be used, or a number is none."""
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
    match about.split("."):
        case [on, group, kind] if session.on and on == str(session.on) and kind == OF_TABLETS:
            return group.isdecimal() and is_of_evening(open_club(desk.book), int(group[:9]), session.on)
    return False


def _is_named(asked: Asked, what: str) -> bool:
    return what in asked.values or what in asked.form

"""A table of students from a spreadsheet: looked at first, then added."""

from starlette.responses import Response

from coachbook.desk.advice import problem_in_words
from coachbook.desk.asked import Asked, Page, as_file, goto
from coachbook.desk.shown import shown
from coachbook.errors import CoachbookError
from coachbook.workflows.members import Imported, import_students, preview_import


def ask(asked: Asked) -> Response:
    """Which file."""
    return shown(asked, "import.html", seen=None, table="", told=[])


def look(asked: Asked) -> Response:
    """What the table would add, or its mistakes."""
    sent = asked.uploads.get("table")
    if sent is None or not sent.content:
        raise CoachbookError("No file was chosen.", "Choose a table that was saved as CSV.")
    with as_file(sent.content) as path:
        seen = preview_import(asked.book(), path)
    return _seen(asked, seen, sent.content.decode(errors="replace"))


def keep(asked: Asked) -> Response:
    """Add all of it; none if anything is wrong by now."""
    with as_file(asked.text("table").encode()) as path:
        done = import_students(asked.book(), path, asked.desk.now())
    return _seen(asked, done, asked.text("table")) if done.problems else goto("/groups")


def _seen(asked: Asked, seen: Imported, table: str) -> Response:
    told = [problem_in_words(each) for each in seen.problems]
    return shown(asked, "import.html", 422 if told else 200, seen=seen, table=table, told=told)


PAGES = (
    Page("/groups/import", ask),
    Page("/groups/import", look, "POST"),
    Page("/groups/import/keep", keep, "POST"),
)

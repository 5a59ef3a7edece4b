"""The way to the first evening: the club's name, its groups with their students, then the first term."""

from starlette.responses import Response

from coachbook.club.book import Book
from coachbook.desk.asked import Asked, Page, goto
from coachbook.desk.shown import shown
from coachbook.files.reading import usual_book
from coachbook.workflows.members import groups_of, new_club
from coachbook.workflows.pasted_names import PastedPreview, add_pasted, preview_pasted
from coachbook.workflows.term_proposal import propose_term


def begin(asked: Asked) -> Response:
    """The first step that is missing; tonight's page if none is."""
    if not asked.desk.has_book:
        return shown(asked, "begin.html", step="club")
    book = asked.book()
    if not groups_of(book):
        return _groups(asked, book)
    return goto("/term/new" if propose_term(book, asked.today).is_first else "/")


def name_club(asked: Asked) -> Response:
    """Make the book."""
    new_club(asked.desk.book or usual_book(), asked.text("name"))
    return goto("/begin")


def look_at_groups(asked: Asked) -> Response:
    """What a pasted list would make."""
    book = asked.book()
    return _pasted(asked, preview_pasted(book, asked.text("names")), is_first=not groups_of(book))


def keep_groups(asked: Asked) -> Response:
    """Add them."""
    book = asked.book()
    is_first = not groups_of(book)
    done = add_pasted(book, asked.text("names"))
    if done.problems:
        return _pasted(asked, done, is_first=is_first)
    return goto("/begin" if is_first else "/groups")


def paste(asked: Asked) -> Response:
    """The same box later, for a club that has groups."""
    return _groups(asked, asked.book())


def _groups(asked: Asked, book: Book) -> Response:
    return shown(asked, "begin.html", step="groups", club=book.club_name, is_first=not groups_of(book))


def _pasted(asked: Asked, seen: PastedPreview, *, is_first: bool) -> Response:
    status = 422 if seen.problems else 200
    return shown(asked, "pasted.html", status, seen=seen, names=asked.text("names"), is_first=is_first)


PAGES = (
    Page("/begin", begin),
    Page("/begin/club", name_club, "POST"),
    Page("/groups/paste", paste),
    Page("/groups/paste", look_at_groups, "POST"),
    Page("/groups/paste/keep", keep_groups, "POST"),
)

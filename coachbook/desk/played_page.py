"""A play-out of the log, played through move by move."""

from starlette.responses import Response

from coachbook.desk.asked import Asked, Page, ways_of_club
from coachbook.desk.shown import shown
from coachbook.errors import CoachbookError
from coachbook.workflows.played_through import played_through


def show(asked: Asked) -> Response:
    """A position of it, with the move that led there."""
    entry, move = asked.number("entry"), asked.number("move")
    found = played_through(asked.book(), asked.syllabus, entry, ways_of_club(asked).men)
    if move >= len(found.moments):
        raise CoachbookError("This game has no such move.", "Go to its beginning.")
    return shown(asked, "played.html", found=found, entry=entry, move=move)


PAGES = (Page("/played/{entry:int}/{move:int}", show),)

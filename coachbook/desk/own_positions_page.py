"""The coach's own positions: what each is good for, and a worksheet of those that suit a kind."""

from dataclasses import dataclass
from uuid import uuid4

from starlette.responses import Response

from coachbook.desk.asked import Asked, Page
from coachbook.desk.jobs import Progress
from coachbook.desk.paper_choice import BOARDS, first_choice
from coachbook.desk.shown import shown
from coachbook.desk.work_page import at_work
from coachbook.errors import CoachbookError
from coachbook.model.print_options import PaperOptions
from coachbook.workflows.members import groups_of, students_of
from coachbook.workflows.own_positions import OwnShownAll, own_shown
from coachbook.workflows.paper_orders import MOST_ITEMS

_ITEMS = 6


@dataclass(frozen=True, slots=True)
class _Looked:
    """What was pasted, and what it is good for."""

    text: str
    found: OwnShownAll


def look(asked: Asked) -> Response:
    """Look at what was pasted, which may take a while."""
    text = asked.text("own")
    letters = asked.book().letters or PaperOptions().letters

    def do(progress: Progress) -> str:
        looked = _Looked(text, own_shown(text, letters, progress))
        return asked.desk.outcomes.keep(f"/papers/own/{uuid4()}", looked)

    return at_work(asked, "Your own positions", "/papers", do)


def show(asked: Asked) -> Response:
    """What each position is good for, and the form for a sheet of them."""
    kept = asked.desk.outcomes.find(asked.path, _Looked)
    if kept is None:
        raise CoachbookError("These positions were looked at a while ago.", "Paste them again.")
    book, found = asked.book(), kept.found
    return shown(
        asked,
        "own_positions.html",
        text=kept.text,
        found=found,
        most=MOST_ITEMS,
        items=max([_ITEMS, *(count for *_, count in found.kinds)]),
        levels=asked.syllabus.levels,
        unit="",
        groups=groups_of(book),
        students=students_of(book),
        boards=BOARDS,
        chosen=first_choice(asked),
        settings=book.settings,
    )


PAGES = (Page("/papers/own", look, "POST"), Page("/papers/own/{key}", show))

"""Papers that were just made: put on a page of their own, with a look at each file."""

import re
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from uuid import uuid4

from starlette.responses import Response

from coachbook.desk.asked import Asked, Page
from coachbook.desk.jobs import Progress
from coachbook.desk.shown import shown
from coachbook.desk.work_page import at_work
from coachbook.errors import CoachbookError

_NUMBER = re.compile("[0-9a-f-]{8,36}")


@dataclass(frozen=True, slots=True)
class MadePapers:
    """What was made: a title, the files, each with what it is called, what is to be told of them, and the
    codes of new sheets."""

    title: str
    files: tuple[tuple[str, Path], ...]
    told: tuple[str, ...] = ()
    sheets: tuple[str, ...] = ()


def make_papers(asked: Asked, title: str, back: str, make: Callable[[Progress], MadePapers]) -> Response:
    """Make papers, and go to the page that shows them. The same touch makes them once."""
    touch = asked.text("touch")
    path = f"/papers/made/{touch if _NUMBER.fullmatch(touch) else uuid4()}"

    def do(progress: Progress) -> str:
        asked.desk.outcomes.once(path, MadePapers, lambda: make(progress))
        return path

    return at_work(asked, title, back, do)


def show(asked: Asked) -> Response:
    """The papers, each to be looked at and printed."""
    made = asked.desk.outcomes.find(asked.path, MadePapers)
    if made is None:
        raise CoachbookError("These papers were made a while ago.", "The saved sheets can be printed again.")
    files = [(label, asked.desk.made.add(path), path) for label, path in made.files]
    return shown(asked, "made_papers.html", made=made, files=files)


PAGES = (Page("/papers/made/{key}", show),)

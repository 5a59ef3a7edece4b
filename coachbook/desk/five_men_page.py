"""Endings of five men: which are built, what it takes to build another, and building it."""

from starlette.responses import Response

from coachbook.desk.asked import Asked, Page
from coachbook.desk.jobs import Progress
from coachbook.desk.shown import shown
from coachbook.desk.work_page import at_work
from coachbook.workflows.endings import build_ahead, build_ending, endings_built

PATH = "/board/five-men"
_MOST_TAUGHT = "KRPKR"
"""What is offered where no ending is named."""


def show(asked: Asked) -> Response:
    """What building an ending takes, and the button that does it."""
    name = asked.query.get("ending", "").strip() or _MOST_TAUGHT
    return shown(asked, "five_men.html", ahead=build_ahead(name), built=endings_built())


def build(asked: Asked) -> Response:
    """Build an ending, with all that it leads to; what is finished is kept if the desk is closed."""
    ahead = build_ahead(asked.text("ending"))

    def do(progress: Progress) -> str:
        build_ending(ahead, progress)
        return f"{PATH}?ending={ahead.material.name}"

    return at_work(asked, f"Building {ahead.material.name}", PATH, do)


PAGES = (Page(PATH, show), Page(f"{PATH}/build", build, "POST"))

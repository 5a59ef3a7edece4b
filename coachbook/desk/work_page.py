"""The page of work that takes a while: how far it is, and then where it leads to. Work that is mostly short
is shown at once where it does not take long."""

import time
from collections.abc import Callable
from typing import TypeVar

from starlette.responses import JSONResponse, Response

from coachbook.desk.asked import Asked, Page, goto
from coachbook.desk.jobs import Job, Progress
from coachbook.desk.shown import refused, shown
from coachbook.errors import CoachbookError


def at_work(asked: Asked, title: str, back: str, do: Callable[[Progress], str]) -> Response:
    """Begin a job (see `Jobs.begin`), and go to its page."""
    return goto(work_path(asked.desk.jobs.begin(title, back, do).number))


def work_path(job: int) -> str:
    """The address of a job."""
    return f"/work/{job}"


def show(asked: Asked) -> Response:
    """How far a job is; when it is over, the page of what came of it."""
    job = _job(asked)
    if job.error is not None:
        return refused(asked, job.error)
    return goto(job.goto) if job.goto else shown(asked, "work.html", job=job)


def state(asked: Asked) -> Response:
    """The same for the page's own script, which asks again and again."""
    job = _job(asked)
    return JSONResponse({"done": job.done, "of": job.of, "what": job.what, "isOver": job.is_over})


def _job(asked: Asked) -> Job:
    job = asked.desk.jobs.get(asked.number("job"))
    if job is None:
        raise CoachbookError("This was done a while ago.", "Go on from the first page.")
    return job


PAGES = (Page("/work/{job:int}", show), Page("/work/{job:int}/state", state))


T = TypeVar("T")

_PATIENCE = 0.08
_LOOK_EVERY = 0.005
"""Seconds."""


def shown_when_made(
    asked: Asked, path: str, letters: str, title: str, make: Callable[[], T], show: Callable[[T], Response]
) -> Response:
    """The page at `path` (with its query), which shows what `make` makes with these letters for the men. It
    is made once, and remembered while the desk runs."""
    kept = f"{path} {letters}"

    def do(_: Progress) -> str:
        asked.desk.outcomes.keep(kept, make())
        return path

    if (found := asked.desk.outcomes.find(kept, object)) is not None:
        return show(found)  # type: ignore[arg-type] # of a path there is one kind of thing
    number = asked.desk.jobs.begin(title, path, do).number
    until = time.monotonic() + _PATIENCE
    while time.monotonic() < until:
        job = asked.desk.jobs.get(number)
        if job is not None and job.error is not None:
            return refused(asked, job.error)
        if (found := asked.desk.outcomes.find(kept, object)) is not None:
            return show(found)  # type: ignore[arg-type] # the same
        time.sleep(_LOOK_EVERY)
    return goto(work_path(number))

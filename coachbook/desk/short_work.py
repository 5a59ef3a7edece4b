"""Work that mostly takes no longer than a page may: shown at once where it does not, and else on the page of
work first."""

import time
from collections.abc import Callable
from typing import TypeVar

from starlette.responses import Response

from coachbook.desk.asked import Asked, goto
from coachbook.desk.jobs import Progress
from coachbook.desk.shown import refused
from coachbook.desk.work_page import work_path

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

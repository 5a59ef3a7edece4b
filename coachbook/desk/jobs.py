"""Work that takes longer than a page may: done in a thread, while its page shows how far it is."""

import threading
from collections.abc import Callable
from dataclasses import dataclass, replace

from coachbook.errors import CoachbookError

Progress = Callable[[int, int, str], None]
"""How much is done, of how much, and what is next."""

_MOST = 20
"""How many jobs are remembered: the pages of older ones were left long ago."""


@dataclass(frozen=True, slots=True)
class Job:
    """What is `done` of how much, and what is next; in the end `goto`, the page of what came of it, or the
    `error`. `back` is the page that it was begun on."""

    number: int
    title: str
    back: str
    done: int = 0
    of: int = 0
    what: str = ""
    goto: str = ""
    error: CoachbookError | None = None

    @property
    def is_over(self) -> bool:
        return bool(self.goto) or self.error is not None


class Jobs:
    """The jobs of a desk; those of one desk are done one after the other."""

    def __init__(self) -> None:
        self._lock, self._turn = threading.Lock(), threading.Lock()
        self._jobs: dict[int, Job] = {}

    def begin(self, title: str, back: str, do: Callable[[Progress], str]) -> Job:
        """Start a job: `do` is given what to tell its progress to, and returns the page of what came of
        it."""
        with self._lock:
            job = Job(max(self._jobs, default=0) + 1, title, back)
            self._jobs[job.number] = job
            self._jobs = dict(list(self._jobs.items())[-_MOST:])
        threading.Thread(target=self._run, args=(job.number, do), daemon=True).start()
        return job

    def get(self, number: int) -> Job | None:
        """The job of a number, as it stands now."""
        with self._lock:
            return self._jobs.get(number)

    def _run(self, number: int, do: Callable[[Progress], str]) -> None:
        def tell(done: int, of: int, what: str) -> None:
            self._change(number, done=done, of=of, what=what)

        with self._turn:
            try:
                self._change(number, goto=do(tell))
            except CoachbookError as error:
                self._change(number, error=error)
            except Exception:
                self._change(number, error=CoachbookError("The desk could not finish this.", "Try it again."))
                raise

    def _change(self, number: int, **values: object) -> None:
        with self._lock:
            if number in self._jobs:
                self._jobs[number] = replace(self._jobs[number], **values)  # type: ignore[arg-type] # by name

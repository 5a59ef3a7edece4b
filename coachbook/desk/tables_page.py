"""Tables: answers and attendance read from a spreadsheet's, shown first and then kept; answers written into
one."""

from collections.abc import Callable
from dataclasses import dataclass
from datetime import date
from pathlib import Path

from starlette.responses import Response

from coachbook.desk.advice import problem_in_words
from coachbook.desk.asked import Asked, Page, as_file, downloaded
from coachbook.desk.jobs import Progress
from coachbook.desk.shown import shown
from coachbook.desk.work_page import at_work
from coachbook.errors import Advice, CoachbookError, Step
from coachbook.model.facts import ItemResult
from coachbook.wording.people import entry_in_words, slip_in_words
from coachbook.workflows.evening_log import answers_as_table, tally
from coachbook.workflows.log_from_tables import Logged, answers_from_table, attendance_from_table
from coachbook.workflows.members import groups_of

_HERE = "/settings/tables"
_SHOWN = 300
"""Rows of a preview: nobody reads more, and a browser would take long."""


@dataclass(frozen=True, slots=True)
class _Table:
    """An upload of a kind, whether its days are meant as they stand, and what is in it."""

    kind: str
    name: str
    content: bytes
    sure: bool
    logged: Logged


@dataclass(frozen=True, slots=True)
class _Row:
    student: str
    sheet: str
    item: int
    on: date
    written: str
    mark: str


def show(asked: Asked) -> Response:
    """The forms."""
    return shown(asked, "tables.html", groups=groups_of(asked.book()))


def upload(asked: Asked) -> Response:
    """Read a table, and go to the page that shows what is in it."""
    sent, kind = asked.uploads.get("table"), str(asked.values["kind"])
    if sent is None or not sent.content:
        raise CoachbookError("No file came with the form, or it is empty.", "Choose a file.")
    return _preview(asked, kind, sent.name, sent.content, sure=bool(asked.text("sure")))


def sure(asked: Asked) -> Response:
    """Read the same table again: its days are meant as they stand."""
    found = asked.outcome("key", _Table)
    return _preview(asked, found.kind, found.name, found.content, sure=True)


def preview(asked: Asked) -> Response:
    """What is wrong in a table, or what would be kept."""
    found = asked.outcome_to_show("key", _Table)
    logged = found.logged
    doubts = {each.advice for each in logged.problems}
    return shown(
        asked,
        "table_preview.html",
        table=found,
        here=f"{_HERE}/preview/{asked.values['key']}",
        problems=[problem_in_words(each) for each in logged.problems],
        only_doubts=doubts == {Advice(Step.LOG_ALL_THE_SAME)},
        logged=logged,
        tally=tally(logged.results),
        rows=[_row(each) for each in logged.results[:_SHOWN]],
        attendance=logged.attendance[:_SHOWN],
        more=max(0, len(logged.results) + len(logged.attendance) - _SHOWN),
    )


def keep(asked: Asked) -> Response:
    """Keep what was shown, once."""
    key, outcomes = str(asked.values["key"]), asked.desk.outcomes
    table, done = outcomes.get(key, _Table), f"{key}-0"

    def keep_now() -> Logged:
        return _read(asked, table.kind, table.content, sure=table.sure, preview=False)

    def do(_: Progress) -> str:
        outcomes.once(done, Logged, keep_now)
        return f"{_HERE}/kept/{done}"

    title = f"Logging {table.kind}"
    return at_work(asked, title, _HERE, do)


def kept(asked: Asked) -> Response:
    """What was kept; or what is wrong now, if the book changed meanwhile."""
    logged = asked.outcome_to_show("key", Logged)
    told = entry_in_words(logged.entry.what) if logged.entry else ""
    problems = [problem_in_words(each) for each in logged.problems]
    return shown(asked, "table_kept.html", told=told, problems=problems)


def export(asked: Asked) -> Response:
    """The answers of a group, or of all, as a table for the browser to save."""
    book = asked.book()
    names = {str(each.id): each.name for each in groups_of(book)}
    if asked.text("group") and asked.text("group") not in names:
        raise CoachbookError("This group is no longer in the book.", "Load the page again.")
    since, until = (asked.typed_day(name) if asked.text(name) else None for name in ("since", "until"))
    group = names.get(asked.text("group"))
    table, _ = answers_as_table(book, group=group, student=None, since=since, until=until)
    return downloaded(table.encode(), f"answers-{asked.today}.csv", "text/csv")


def _preview(asked: Asked, kind: str, name: str, content: bytes, *, sure: bool) -> Response:
    if kind not in _READ:
        raise CoachbookError("There is no such table.", "Go on from the page of tables.")

    def do(_: Progress) -> str:
        logged = _read(asked, kind, content, sure=sure, preview=True)
        return f"{_HERE}/preview/{asked.desk.outcomes.add(_Table(kind, name, content, sure, logged))}"

    return at_work(asked, "Reading the table", _HERE, do)


def _read(asked: Asked, kind: str, content: bytes, *, sure: bool, preview: bool) -> Logged:
    with as_file(content) as path:
        return _READ[kind](asked, path, sure, preview)


def _answers(asked: Asked, path: Path, sure: bool, preview: bool) -> Logged:
    return answers_from_table(
        asked.book(), path, None, None, asked.today, asked.desk.now(), preview=preview, sure=sure
    )


def _attendance(asked: Asked, path: Path, sure: bool, preview: bool) -> Logged:
    return attendance_from_table(
        asked.book(), path, asked.today, asked.desk.now(), preview=preview, sure=sure
    )


_READ: dict[str, Callable[[Asked, Path, bool, bool], Logged]] = {
    "answers": _answers,
    "attendance": _attendance,
}


def _row(result: ItemResult) -> _Row:
    mark = "right" if result.right else slip_in_words(result.slip) or "wrong"
    return _Row(result.student, result.sheet, result.item, result.on, result.written, mark)


PAGES = (
    Page(_HERE, show),
    Page(f"{_HERE}/export", export, "POST"),
    Page(f"{_HERE}/preview/{{key}}", preview),
    Page(f"{_HERE}/preview/{{key}}", keep, "POST"),
    Page(f"{_HERE}/preview/{{key}}/sure", sure, "POST"),
    Page(f"{_HERE}/kept/{{key}}", kept),
    Page(f"{_HERE}/read/{{kind}}", upload, "POST"),
)

"""Closing an evening: what is still missing, what was not finished, and what moves to the next one then."""

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from datetime import date

from starlette.responses import Response

from coachbook.desk.advice import in_words as advice_in_words
from coachbook.desk.asked import Asked, Page
from coachbook.desk.evening_page import EVENING, evening_path
from coachbook.desk.jobs import Progress
from coachbook.desk.shown import shown
from coachbook.desk.work_page import at_work
from coachbook.model.conversation import Say, Told, tell
from coachbook.model.facts import Group
from coachbook.wording.conversations import in_words
from coachbook.wording.counting import shown_time
from coachbook.wording.people import doubt_in_words
from coachbook.workflows.closing import NextWeek, ToClose
from coachbook.workflows.closing_conversation import what_moves
from coachbook.workflows.closing_view import close_evening, closing_view, what_moved

_OWN_WORDS: dict[Say, Callable[..., str]] = {
    Say.PLAN_STAYS: lambda error: f"The plan stays as it was: {error.told(advice_in_words)}",
    Say.LOG_THE_REST: lambda **_: "What is missing can still be logged on the page of the evening.",
}
"""What gives advice, which is about buttons here."""


@dataclass(frozen=True, slots=True)
class _Closed:
    """An evening that was closed: what was said then, or, with `is_now`, what is to be said by now, and
    the titles of the units that are planned `again`."""

    group: Group
    on: date
    moves: NextWeek
    is_now: bool = False
    again: tuple[str, ...] = ()


def show(asked: Asked) -> Response:
    """What is still missing of an evening, and the question what was not finished."""
    group, on = asked.number("group"), asked.day("on")
    view = closing_view(asked.book(), asked.syllabus, group, on, asked.today)
    return shown(
        asked,
        "closing.html",
        view=view,
        base=evening_path(group, on),
        doubt=doubt_in_words(view.doubt) if view.doubt else "",
        sheets=_sheets(view.left),
        closed=shown_time(view.closed_at.astimezone()) if view.closed_at else "",
        may_close=on <= asked.today and view.has_plan,
    )


def close(asked: Asked) -> Response:
    """Plan anew what was not finished; the page of what moves follows."""
    group, on, touch = asked.number("group"), asked.day("on"), asked.touch_number()
    not_done, outcomes = tuple(asked.all("not_done")), asked.desk.outcomes
    today, now = asked.today, asked.desk.now()
    path = f"{evening_path(group, on)}/closed/{touch}"

    def closed_now() -> _Closed:
        own, moves = close_evening(asked.book(), asked.syllabus, group, on, not_done, today, now)
        found = _Closed(own, on, moves)
        outcomes.keep(evening_path(group, on), found)
        return found

    def do(_: Progress) -> str:
        outcomes.once(touch, _Closed, closed_now)
        return path

    return at_work(asked, "Closing the evening", f"{evening_path(group, on)}/close", do)


def closed(asked: Asked) -> Response:
    """What moves to the next evening."""
    return _closed(asked, asked.outcome_to_show("touch", _Closed))


def closed_before(asked: Asked) -> Response:
    """The same of an evening that was closed before: what was said then, if this desk still knows it."""
    group, on = asked.number("group"), asked.day("on")
    own, moves, again = what_moved(asked.book(), asked.syllabus, group, on)
    found = asked.desk.outcomes.find(evening_path(group, on), _Closed)
    return _closed(asked, found or _Closed(own, on, moves, is_now=True, again=again))


def _closed(asked: Asked, found: _Closed) -> Response:
    told = what_moves(found.group.name, found.on, found.moves, asked.syllabus.titles)
    head, *points = _with_details(told)
    base = evening_path(found.group.id, found.on)
    return shown(asked, "closed.html", closed=found, base=base, head=head[0], points=points)


def _with_details(told: Iterable[Told]) -> list[tuple[str, list[str]]]:
    """Each line, with those that stand under it."""
    found: list[tuple[str, list[str]]] = []
    for each in told:
        if each.code is Say.BRING_BACK:
            found[-1][1].extend(_lines(each))
        else:
            found += [(line, []) for line in _lines(each)]
    return found


def _sheets(left: ToClose) -> list[str]:
    """The sheets of which something is not logged, in the order of the students."""
    half = {(each.student, each.sheet): each for each in left.half}
    found = []
    for sheet, (name,) in left.sheets:
        begun = half.get((name, sheet.code))
        told = (
            tell(Say.NOT_LOGGED, student=name, sheet=sheet.code)
            if begun is None
            else tell(Say.HALF_LOGGED, student=name, sheet=sheet.code, items=begun.items)
        )
        found += _lines(told)
    return found


def _lines(told: Told) -> list[str]:
    own = _OWN_WORDS.get(told.code)
    return [line.strip() for line in (own(**told.values) if own else in_words(told)).strip().splitlines()]


PAGES = (
    Page(f"{EVENING}/close", show),
    Page(f"{EVENING}/close", close, "POST"),
    Page(f"{EVENING}/closed", closed_before),
    Page(f"{EVENING}/closed/{{touch}}", closed),
)

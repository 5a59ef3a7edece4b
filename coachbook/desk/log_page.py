"""The log: what was kept, the newest first; taking an entry back, and bringing it back again."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import date

from starlette.responses import Response

from coachbook.desk.asked import Asked, Page, goto, number_sent
from coachbook.desk.shown import shown
from coachbook.wording.counting import capitalised, day_in_words, shown_time
from coachbook.wording.people import entry_in_words, evenings_in_words, who_in_words
from coachbook.wording.plans import NO_EVENING_CHANGES, Titles, difference_in_words
from coachbook.workflows.care import has_taken_back
from coachbook.workflows.evening_log import (
    ListedEntry,
    TakenBack,
    list_log,
    list_taken_back,
    redo,
    undo,
    what_redo_changes,
    what_undo_changes,
)
from coachbook.workflows.played_through import has_moves

_ON_A_PAGE = 25
_MOST_TAKEN_BACK = 50


@dataclass(frozen=True, slots=True)
class _Done:
    """An entry that was taken back, or brought back."""

    taken: TakenBack
    is_back: bool


def show(asked: Asked) -> Response:
    """The newest entries; those before one of them, if its number is asked for."""
    book, before = asked.book(), asked.query.get("before", "")
    found = list_log(book, _ON_A_PAGE + 1, number_sent(before) if before else None)
    return shown(
        asked,
        "log.html",
        rows=_rows(found[:_ON_A_PAGE]),
        older=found[_ON_A_PAGE - 1].id if len(found) > _ON_A_PAGE else None,
        is_newest=not before,
        has_taken_back=has_taken_back(book),
    )


def taken_back(asked: Asked) -> Response:
    """What was taken back and can be brought back."""
    return shown(asked, "log_taken_back.html", rows=_rows(list_taken_back(asked.book(), _MOST_TAKEN_BACK)))


def ask_undo(asked: Asked) -> Response:
    """What would change if an entry was taken back."""
    found = what_undo_changes(asked.book(), asked.desk.now(), asked.number("entry"))
    through = f"/played/{found.entry.id}/0" if has_moves(asked.book(), found.entry.id) else ""
    return _page(asked, "log_ask.html", found, is_back=False, through=through)


def ask_redo(asked: Asked) -> Response:
    """What would change if an entry was brought back."""
    found = what_redo_changes(asked.book(), asked.number("entry"))
    return _page(asked, "log_ask.html", found, is_back=True)


def do_undo(asked: Asked) -> Response:
    """Take an entry back."""
    return _done(asked, lambda: undo(asked.book(), asked.desk.now(), asked.number("entry")), is_back=False)


def do_redo(asked: Asked) -> Response:
    """Bring an entry back."""
    return _done(asked, lambda: redo(asked.book(), asked.number("entry")), is_back=True)


def done(asked: Asked) -> Response:
    """What was taken back or brought back, and what that changed."""
    found = asked.outcome_to_show("touch", _Done)
    return _page(asked, "log_done.html", found.taken, is_back=found.is_back)


def _done(asked: Asked, do: Callable[[], TakenBack], *, is_back: bool) -> Response:
    """Once, however often the button was pressed."""
    touch = asked.touch_number()
    asked.desk.outcomes.once(touch, _Done, lambda: _Done(do(), is_back))
    return goto(f"/log/done/{touch}")


def _rows(entries: Sequence[ListedEntry]) -> list[tuple[int, str, str, str, str]]:
    """The number of an entry, when it was logged, about whom, what, and of which evening."""
    return [
        (
            each.id,
            shown_time(each.logged_at.astimezone()),
            who_in_words(each.what, each.group),
            capitalised(entry_in_words(each.what)),
            _evenings(each.what.evenings),
        )
        for each in entries
    ]


def _evenings(days: Sequence[date]) -> str:
    if len(days) == 1:
        return day_in_words(days[0])
    return capitalised(evenings_in_words(days)) if days else ""


def _page(asked: Asked, template: str, found: TakenBack, *, is_back: bool, through: str = "") -> Response:
    contents = found.contents
    return shown(
        asked,
        template,
        is_back=is_back,
        through=through,
        entry=found.entry,
        what=capitalised(entry_in_words(found.entry.what)),
        logged=shown_time(found.entry.logged_at.astimezone()),
        students=contents.students,
        evenings=_evenings(contents.evenings),
        changes=_changes(found, asked.syllabus.titles),
    )


def _changes(found: TakenBack, titles: Titles) -> list[str]:
    groups = found.contents.groups
    if groups and not found.changes:
        return [NO_EVENING_CHANGES]
    told = ((group, difference_in_words(each, titles)) for group, each in found.changes)
    return [f"{group}: {line}" if len(groups) > 1 else line for group, line in told]


PAGES = (
    Page("/log", show),
    Page("/log/taken-back", taken_back),
    Page("/log/{entry:int}/undo", ask_undo),
    Page("/log/{entry:int}/undo", do_undo, "POST"),
    Page("/log/{entry:int}/redo", ask_redo),
    Page("/log/{entry:int}/redo", do_redo, "POST"),
    Page("/log/done/{touch}", done),
)

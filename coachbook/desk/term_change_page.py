"""Changing the plan of a term: what would change is shown beside what is, and kept only then."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

from starlette.responses import Response

from coachbook.desk.asked import Asked, Page, number_sent
from coachbook.desk.jobs import Progress
from coachbook.desk.shown import shown
from coachbook.desk.work_page import at_work
from coachbook.errors import CoachbookError
from coachbook.model.dates import Towards, read_day
from coachbook.model.term_change import TermChange, TermStep
from coachbook.model.term_plan import Difference, PlanDifference
from coachbook.wording.counting import short_day
from coachbook.wording.plans import Titles, difference_in_words, topics_in_words
from coachbook.wording.term_lines import change_in_words, said_once
from coachbook.workflows.term_changing import SeenChange, days_off, keep_change, look_at_change

_OF_AN_EVENING = frozenset(TermStep) - {TermStep.DAYS_OFF, TermStep.REPLAN}


@dataclass(frozen=True, slots=True)
class _Looked:
    """A change that is looked at, and the page on which it was chosen."""

    seen: SeenChange
    back: str


@dataclass(frozen=True, slots=True)
class _Kept:
    """A change that was kept."""

    seen: SeenChange
    back: str


def look(asked: Asked) -> Response:
    """Find out what a change would make of the plans; the page that shows it follows."""
    change, touch, outcomes, today = _change(asked), asked.touch_number(), asked.desk.outcomes, asked.today
    back = f"/term/{change.on}" if change.step in _OF_AN_EVENING else "/term"

    def do(_: Progress) -> str:
        outcomes.keep(touch, _Looked(look_at_change(asked.book(), asked.syllabus, change, today), back))
        return f"/term/seen/{touch}"

    return at_work(asked, "Looking what would change", back, do)


def seen(asked: Asked) -> Response:
    """What would change, beside what is."""
    found = asked.outcome_to_show("touch", _Looked)
    return _page(asked, "term_seen.html", found.seen, found.back)


def keep(asked: Asked) -> Response:
    """Do just what was looked at."""
    touch, outcomes = asked.touch_number(), asked.desk.outcomes
    looked = asked.outcome("touch", _Looked)

    def keep_now() -> _Kept:
        return _Kept(keep_change(asked.book(), asked.syllabus, looked.seen), looked.back)

    def do(_: Progress) -> str:
        outcomes.once(touch, _Kept, keep_now)
        return f"/term/kept/{touch}"

    return at_work(asked, "Changing the plan", looked.back, do)


def kept(asked: Asked) -> Response:
    """What has changed."""
    found = asked.outcome_to_show("touch", _Kept)
    return _page(asked, "term_kept.html", found.seen, found.back)


def _change(asked: Asked) -> TermChange:
    step = next((each for each in TermStep if each.value == asked.text("step")), None)
    if step is None:
        raise CoachbookError("The page sent no change.", "Load the page again.")
    groups = tuple(number_sent(each) for each in asked.all("group"))
    units = tuple(unit for unit in asked.all("unit") if unit)
    if step in _OF_AN_EVENING:
        return TermChange(step, groups, asked.day("on"), units)
    if step is TermStep.REPLAN:
        return TermChange(step, groups, asked.typed_day("from"))
    typed = [each for each in zip(asked.all("first"), asked.all("last"), strict=False) if any(each)]
    days = days_off(
        [_typed(asked, first) for first, _ in typed],
        [_typed(asked, last) if last else None for _, last in typed],
    )
    return TermChange(step, groups, asked.today, days=days)


def _typed(asked: Asked, text: str) -> date:
    return read_day(text, asked.today, Towards.AHEAD)


def _page(asked: Asked, template: str, found: SeenChange, back: str) -> Response:
    titles = asked.syllabus.titles
    changes = said_once((term.planned.group, term.changes) for term in found.made.terms)
    return shown(
        asked,
        template,
        found=found,
        back=back,
        what=change_in_words(found.change, found.groups, titles),
        changes=[(groups, *_beside(each, titles)) for groups, each in changes],
    )


def _beside(
    changes: Sequence[PlanDifference], titles: Titles
) -> tuple[list[tuple[str, str, str]], list[str]]:
    """What each evening is about and would be about, side by side; and what else would change."""
    rows, lines = [], []
    for each in changes:
        if each.was is None and each.now is None:
            lines.append(difference_in_words(each, titles))
            continue
        was = topics_in_words(each.was, titles) if each.was is not None else "no evening"
        now = topics_in_words(each.now, titles) if each.now is not None else Difference.CANCELLED.value
        rows.append((short_day(each.evenings[0]), was, now))
    return rows, lines


PAGES = (
    Page("/term/look", look, "POST"),
    Page("/term/seen/{touch}", seen),
    Page("/term/seen/{touch}/keep", keep, "POST"),
    Page("/term/kept/{touch}", kept),
)

"""A new term: its days and hours are asked for, the plan is shown, and then it is kept."""

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from starlette.responses import Response

from coachbook.desk.asked import Asked, Page
from coachbook.desk.jobs import Progress
from coachbook.desk.shown import shown
from coachbook.desk.work_page import at_work
from coachbook.errors import CoachbookError
from coachbook.model.dates import WEEKDAYS, Towards, read_clock, read_stretch
from coachbook.model.term_plan import Closure
from coachbook.wording.plans import differences_in_words
from coachbook.wording.term_lines import fitting_in_words, new_in_words, said_once, term_in_words
from coachbook.workflows.members import groups_of
from coachbook.workflows.planning import ChangedPlans, TermWish, plan_terms, preview_terms
from coachbook.workflows.term_files import closures_from
from coachbook.workflows.term_proposal import TermProposal, propose_term

_FIELDS = ("from", "until", "weekday", "minutes", "at", "goal", "group", "off", "holidays")


@dataclass(frozen=True, slots=True)
class SeenTerm:
    """A plan that was shown: for which groups and wish, and the form's fields, to change them."""

    groups: tuple[str, ...]
    wish: TermWish
    planned: ChangedPlans
    fields: Mapping[str, Sequence[str]]
    is_first: bool


def ask(asked: Asked) -> Response:
    """The form: with what was typed before, else with what is proposed."""
    proposal = propose_term(asked.book(), asked.today)
    return shown(asked, "new_term.html", is_first=proposal.is_first, form=_form(asked, _proposed(proposal)))


def look(asked: Asked) -> Response:
    """Plan the term, without keeping it."""
    book = asked.book()
    proposal = propose_term(book, asked.today)
    groups = tuple(group.name for group in groups_of(book) if str(group.id) in asked.all("group"))
    if not groups:
        raise CoachbookError("No group is ticked.", "Tick the groups that meet on these evenings.")
    wish, today, syllabus = _wish(asked, proposal), asked.today, asked.syllabus
    fields = {name: asked.all(name) for name in _FIELDS}

    def plan(_: Progress) -> str:
        planned = preview_terms(asked.book(), syllabus, groups, wish, today=today)
        seen = SeenTerm(groups, wish, planned, fields, proposal.is_first)
        return f"/term/new/{asked.desk.outcomes.add(seen)}"

    return at_work(asked, "Planning the term", asked.path, plan)


def show_plan(asked: Asked) -> Response:
    """What is new on which evening for which group, and what would change."""
    seen = asked.outcome("seen", SeenTerm)
    titles = asked.syllabus.titles
    plans = {term.group: term.plan for term in seen.planned.planned}
    days = sorted({session.on for plan in plans.values() for session in plan.sessions})
    new = {
        group: {each.on: new_in_words(each, titles) for each in plan.sessions}
        for group, plan in plans.items()
    }
    return shown(
        asked,
        "planned_term.html",
        seen=seen,
        groups=list(plans),
        evenings=[(on, [new[group].get(on, "no evening") for group in plans]) for on in days],
        about=list(dict.fromkeys(line for plan in plans.values() for line in term_in_words(plan))),
        fitting=said_once((group, tuple(fitting_in_words(plan, titles))) for group, plan in plans.items()),
        changes=[
            (each.planned.group, differences_in_words(each.changes, titles))
            for each in seen.planned.terms
            if each.changes
        ],
        form=_form(asked, seen.fields),
    )


def keep(asked: Asked) -> Response:
    """Keep just what was shown."""
    seen = asked.outcome("seen", SeenTerm)
    syllabus, today = asked.syllabus, asked.today

    def plan(_: Progress) -> str:
        plan_terms(asked.book(), syllabus, seen.groups, seen.wish, today=today, seen=seen.planned)
        return "/" if seen.is_first else "/term"

    return at_work(asked, "Keeping the plan", asked.path, plan)


def _form(asked: Asked, fields: Mapping[str, Sequence[str]]) -> dict[str, object]:
    """What the form is drawn of."""
    return {
        "fields": {name: fields.get(name) or ("",) for name in _FIELDS},
        "weekdays": list(enumerate(WEEKDAYS)),
        "levels": asked.syllabus.levels,
        "groups": groups_of(asked.book()),
    }


def _wish(asked: Asked, proposal: TermProposal) -> TermWish:
    starts_on, ends_on = asked.typed_day("from"), asked.typed_day("until")
    weekdays = tuple(number for number in range(len(WEEKDAYS)) if str(number) in asked.all("weekday"))
    at = asked.text("at").strip()
    stretches = (line for line in re.split("[\n,;]", asked.text("off")) if line.strip())
    off = [Closure(*read_stretch(line, asked.today, Towards.AHEAD)) for line in stretches]
    if place := asked.text("holidays").strip():
        off += closures_from((), (place,), starts_on, ends_on)
    return TermWish(
        starts_on,
        ends_on,
        weekdays,
        asked.number("minutes"),
        closures=tuple(off),
        goal=asked.number("goal") if asked.text("goal") else None,
        at=read_clock(at) if at else "",
        zone=proposal.wish.zone if at else "",
    )


def _proposed(proposal: TermProposal) -> Mapping[str, Sequence[str]]:
    wish = proposal.wish
    return {
        "from": (str(wish.starts_on),),
        "until": (str(wish.ends_on),),
        "weekday": [str(number) for number in wish.weekdays],
        "minutes": (str(wish.minutes),),
        "at": (wish.at,),
        "group": [str(group.id) for group in proposal.groups],
    }


PAGES = (
    Page("/term/new", ask),
    Page("/term/new", look, "POST"),
    Page("/term/new/{seen}", show_plan),
    Page("/term/new/{seen}", keep, "POST"),
)

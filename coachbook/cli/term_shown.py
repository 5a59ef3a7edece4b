"""What the commands for terms share: how days and times are read, and how a plan is shown."""

import shlex
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import asdict, dataclass
from typing import TYPE_CHECKING, Annotated

import typer

from coachbook.cli.console import show_table
from coachbook.cli.options import today
from coachbook.model.dates import Towards, read_stretch
from coachbook.model.syllabus import Syllabus
from coachbook.model.term_plan import (
    Closure,
    PlannedCatchUp,
    PlannedReview,
    SlotKind,
    TermPlan,
    TermReviews,
    clock,
)
from coachbook.wording.counting import listed, shown_day

if TYPE_CHECKING:
    from coachbook.workflows.planning import PlannedTerm


@dataclass(frozen=True, slots=True)
class Days:
    """A day, or several in a row."""

    closure: Closure
    is_one: bool


def read_days(text: str) -> Days:
    """A date, or two with `..` between them. Raises CoachbookError for anything else."""
    first, last = read_stretch(text, today(None), Towards.AHEAD)
    return Days(Closure(first, last), is_one=first == last and ".." not in text)


SkipOption = Annotated[
    list[Days] | None,
    typer.Option("--skip", parser=read_days, metavar="DATE[..DATE]", help="No meeting; may be given again."),
]


def plan_as_json(term: "PlannedTerm", titles: Mapping[str, str]) -> dict[str, object]:
    """The plan as other programs read it: with its reasons in words, and which groups learn together."""
    from coachbook.wording.plans import reason_in_words

    plan = term.plan
    sessions = [
        {
            **asdict(session),
            "slots": [
                {
                    **asdict(slot),
                    "why": reason_in_words(slot.why, titles),
                    "together_with": term.together.get((session.on, start), ()),
                }
                for start, slot in session.timed
            ],
        }
        for session in plan.sessions
    ]
    return {**asdict(plan), "sessions": sessions}


def show_terms(terms: Sequence["PlannedTerm"], syllabus: Syllabus, *, in_short: bool = False) -> None:
    """Print each plan as a table, then what did not fit, and who is to review what.

    Of several plans first what is new on which evening, side by side; `in_short` that alone.
    """
    if len(terms) > 1:
        _show_side_by_side(terms, syllabus)
        if in_short:
            typer.echo()
            typer.echo("Minute by minute, with reasons and reviews: coachbook term show --group NAME")
            return
        typer.echo()
    for number, term in enumerate(terms):
        if number:
            typer.echo()
        _show_term(term, syllabus)


def show_other_terms(group: str, plans: Sequence[TermPlan]) -> None:
    """Print which other terms a group has, and how to see them; nothing if it has none."""
    if plans:
        days = ", ".join(f"{shown_day(plan.starts_on)} to {shown_day(plan.ends_on)}" for plan in plans)
        typer.echo(f"{group} has other terms: {days}. To see one, give --date with a day in it.")


def show_later_evenings(term: "PlannedTerm", others: Sequence[TermPlan]) -> None:
    """Print how to fit what is planned after a new term to it; nothing if nothing is."""
    later = [each.on for plan in others for each in plan.sessions if each.on > term.plan.ends_on]
    if later:
        again = f"coachbook term replan --group {shlex.quote(term.group)} --from {min(later)}"
        typer.echo(f"Later evenings of {term.group} stay as they were planned. To replan them: {again}")


def _show_side_by_side(terms: Sequence["PlannedTerm"], syllabus: Syllabus) -> None:
    from coachbook.wording.term_lines import (
        all_freed_in_words,
        fitting_in_words,
        new_in_words,
        said_once,
        term_in_words,
    )

    titles = syllabus.titles_in_plans
    dates = sorted({session.on for term in terms for session in term.plan.sessions})
    new = [{session.on: new_in_words(session, titles) for session in term.plan.sessions} for term in terms]
    for line in dict.fromkeys(line for term in terms for line in term_in_words(term.plan)):
        typer.echo(line)
    typer.echo()
    show_table(
        ("New on", *(term.group for term in terms)),
        [(shown_day(on), *(each.get(on, "no evening") for each in new)) for on in dates],
    )
    typer.echo()
    fitting = ((term.group, line) for term in terms for line in fitting_in_words(term.plan, titles))
    for groups, line in said_once(fitting):
        typer.echo(f"{groups}: {line}")
    for line in all_freed_in_words((each.group, each.plan.sessions, each.together) for each in terms):
        typer.echo(line)


def _show_term(term: "PlannedTerm", syllabus: Syllabus) -> None:
    from coachbook.wording.term_lines import all_freed_in_words, fitting_in_words, term_in_words

    plan, titles = term.plan, syllabus.titles_in_plans
    first, *more = term_in_words(plan)
    for line in (f"{term.group}: {first}", *more, ""):
        typer.echo(line)
    headers: tuple[str, ...] = ("Evening", "Starts", "Min", "For", "Unit", "Why")
    if plan.room:
        headers = (*headers, "Coach")
    show_table(headers, [row[: len(headers)] for row in _rows(term, titles)])
    typer.echo()
    freed = all_freed_in_words([(term.group, plan.sessions, term.together)])
    for line in (*fitting_in_words(plan, titles), *freed):
        typer.echo(line)
    _show_reviews(term, titles)


def _rows(term: "PlannedTerm", titles: dict[str, str]) -> Iterator[tuple[str, ...]]:
    from coachbook.wording.plans import kind_in_words, reason_in_words

    plan = term.plan
    pins = {(pin.unit, pin.on) for pin in plan.pins}
    for session in plan.sessions:
        day = f"{shown_day(session.on)}{' (locked)' if session.locked else ''}"
        for start, slot in session.timed:
            title = titles.get(slot.unit, slot.unit)
            if not slot.unit and slot.kind is not SlotKind.BUFFER:
                title = "mixed"
            if (slot.unit, session.on) in pins and slot.kind is SlotKind.NEW:
                title += " (pinned)"
            coach = "yes" if slot.with_coach else ""
            if others := term.together.get((session.on, start)):
                coach = f"yes, with {listed(others)}"
            starts = clock(plan.at, start) if plan.at else str(start)
            yield (
                day,
                starts,
                str(slot.minutes),
                kind_in_words(slot.kind),
                title,
                reason_in_words(slot.why, titles),
                coach,
            )
            day = ""


def _show_reviews(term: "PlannedTerm", titles: dict[str, str]) -> None:
    from coachbook.wording.term_lines import who_finds_no_room

    reviews: TermReviews = term.reviews
    if reviews.planned:
        typer.echo()
        typer.echo("Who reviews what, as things stand today:")
        show_table(
            ("Evening", "Unit", "Students"), list(_review_rows(reviews.planned, titles, term.students))
        )
    if term.catch_ups:
        typer.echo()
        typer.echo("Who catches up on missed lessons, in ten minutes with you or a partner:")
        show_table(("Evening", "Unit", "Students"), list(_review_rows(term.catch_ups, titles, term.students)))
    if reviews.unfit:
        typer.echo()
        typer.echo("No room for these reviews:")
        rows = who_finds_no_room(reviews.unfit, titles, term.students)
        show_table(("Students", "Unit", "Why"), rows)


def _review_rows(
    planned: Iterable[PlannedReview | PlannedCatchUp], titles: dict[str, str], everybody: tuple[str, ...]
) -> Iterator[tuple[str, ...]]:
    from coachbook.wording.term_lines import who_reviews_what

    last = ""
    for on, title, who in who_reviews_what(planned, titles, everybody):
        day = shown_day(on)
        yield day if day != last else "", title, who
        last = day

"""`coachbook term`: what to teach on which evening."""

from datetime import UTC, date, datetime
from pathlib import Path
from typing import Annotated

import typer

from coachbook.cli.asking import PreviewOption, YesOption, agrees, check_can_ask, tell_how_to_take_back
from coachbook.cli.console import print_json
from coachbook.cli.hints import tell_next_of_groups
from coachbook.cli.options import (
    AllGroupsOption,
    BookOption,
    ComingDateOption,
    GroupsOption,
    JsonOption,
    OnPaperOption,
    PaperOption,
    SyllabusOption,
    coming_day,
    noun,
    paper_options,
    read_number,
    today,
)
from coachbook.cli.term_changes import lock, pin, replan, show_changes, unlock, unpin
from coachbook.cli.term_shown import (
    SkipOption,
    plan_as_json,
    show_later_evenings,
    show_other_terms,
    show_terms,
)
from coachbook.model.conversation import Say
from coachbook.model.dates import read_clock, read_weekday

app = noun("The plan of a group's term.", "plan show replan pin unpin lock unlock export")
for change in (replan, pin, unpin, lock, unlock):
    app.command()(change)

FirstDayOption = Annotated[
    date, typer.Option("--from", parser=coming_day, metavar="DATE", help="The first day.")
]
LastDayOption = Annotated[
    date, typer.Option("--until", parser=coming_day, metavar="DATE", help="The last day.")
]
WeekdaysOption = Annotated[
    list[int],
    typer.Option(
        "--weekday", parser=read_weekday, metavar="DAY", help="Such as thursday, or thu; may be given again."
    ),
]
MinutesOption = Annotated[
    int, typer.Option("--minutes", parser=read_number, metavar="N", help="The length of an evening.")
]
ClosedOption = Annotated[
    list[Path] | None,
    typer.Option("--closed", metavar="FILE", help="No meeting on the days in this calendar file (.ics)."),
]
HolidaysOption = Annotated[
    list[str] | None,
    typer.Option(
        "--holidays", metavar="PLACE", help="No meeting on public holidays, such as of IE or DE-BY."
    ),
]
GoalOption = Annotated[
    int | None,
    typer.Option("--goal", parser=read_number, metavar="LEVEL", help="The level to reach by the end."),
]
AtOption = Annotated[
    str | None,
    typer.Option("--at", parser=read_clock, metavar="TIME", help="When an evening starts, such as 18:30."),
]
ZoneOption = Annotated[
    str | None,
    typer.Option("--zone", metavar="ZONE", help="The time zone of the clock, such as Europe/Dublin."),
]


@app.command("plan")
def plan(
    starts_on: FirstDayOption,
    ends_on: LastDayOption,
    weekdays: WeekdaysOption,
    minutes: MinutesOption,
    skip: SkipOption = None,
    closed: ClosedOption = None,
    holidays: HolidaysOption = None,
    groups: GroupsOption = None,
    every: AllGroupsOption = False,
    goal: GoalOption = None,
    at: AtOption = None,
    zone: ZoneOption = None,
    to: OnPaperOption = None,
    paper: PaperOption = None,
    preview: PreviewOption = False,
    yes: YesOption = False,
    book: BookOption = None,
    syllabus: SyllabusOption = None,
) -> None:
    """Plan a term, evening by evening, and keep the plan. It is for a group, or for groups in one room.

    A group has as many terms as you like. Evenings outside the days of this one stay as they are; if
    evenings inside are planned already, coachbook shows what would change, and asks. Locked evenings, and
    those already held, stay.
    """
    from coachbook.workflows.members import chosen_groups, open_club
    from coachbook.workflows.planning import TermWish, other_terms, plan_terms, preview_terms
    from coachbook.workflows.standings import load_syllabus

    days = skip or []
    closures = [each.closure for each in days if not each.is_one]
    if closed or holidays:
        # Loaded only if asked for: the calendars of all countries take a while.
        from coachbook.workflows.term_files import closures_from

        closures += closures_from(closed or (), holidays or (), starts_on, ends_on)
    read, opened = load_syllabus(syllabus), open_club(book)
    wish = TermWish(
        starts_on=starts_on,
        ends_on=ends_on,
        weekdays=tuple(weekdays),
        minutes=minutes,
        skip=tuple(each.closure.first for each in days if each.is_one),
        closures=tuple(closures),
        goal=goal,
        at=at or "",
        zone=zone or "",
    )
    names = chosen_groups(opened, groups or (), every=every)
    seen = preview_terms(opened, read, names, wish, today=today(None))
    if preview:
        show_terms(seen.planned, read, in_short=True)
        if seen.replaces:
            show_changes(seen, read.titles)
        typer.echo("Nothing was kept.")
        return
    if seen.replaces and not yes:
        check_can_ask("Evenings on these days are planned already, and would change.")
        show_changes(seen, read.titles)
        if not agrees(Say.PLAN_ANEW, "The plans stay as they were."):
            return
    options = paper_options(opened.settings, paper)
    made = plan_terms(opened, read, names, wish, today=today(None), wall=to, options=options, seen=seen)
    show_terms(made.planned, read, in_short=True)
    if seen.replaces:
        show_changes(made, read.titles)
    for each in made.planned:
        show_later_evenings(each, other_terms(opened, each.group, each.plan))
    if seen.replaces:
        tell_how_to_take_back(made.entry)
    if to is not None:
        typer.echo(f"Written: {to}")
    tell_next_of_groups(opened, [each.group for each in made.planned], today(None), book)


@app.command("show")
def show(
    groups: GroupsOption = None,
    every: AllGroupsOption = False,
    on: ComingDateOption = None,
    to: OnPaperOption = None,
    paper: PaperOption = None,
    book: BookOption = None,
    syllabus: SyllabusOption = None,
    as_json: JsonOption = False,
) -> None:
    """Show the plan of a term, and who reviews what. Without --date: the current term, or else the next."""
    from coachbook.workflows.members import chosen_groups, open_club
    from coachbook.workflows.planning import other_terms, print_terms, term_of
    from coachbook.workflows.standings import load_syllabus

    read, opened = load_syllabus(syllabus), open_club(book)
    names: tuple[str | None, ...] = chosen_groups(opened, groups or (), every=every) or (None,)
    kept = [term_of(opened, read, name, today(on)) for name in names]
    if to is not None:
        plans = {each.group: each.plan for each in kept}
        print_terms(opened.club_name, read, plans, to, paper_options(opened.settings, paper))
    if as_json:
        told = [
            {"group": each.group, "plan": plan_as_json(each, read.titles_in_plans), "reviews": each.reviews}
            for each in kept
        ]
        print_json(told if len(told) > 1 or every else told[0])
        return
    show_terms(kept, read)
    for each in kept:
        show_other_terms(each.group, other_terms(opened, each.group, each.plan))
    if to is not None:
        typer.echo(f"Written: {to}")


@app.command("export")
def export(
    to: Annotated[
        list[Path],
        typer.Option(
            "--to",
            metavar="FILE",
            help="A calendar (.ics), a table (.csv) or a page (.pdf); may be given again.",
        ),
    ],
    groups: GroupsOption = None,
    every: AllGroupsOption = False,
    on: ComingDateOption = None,
    paper: PaperOption = None,
    book: BookOption = None,
    syllabus: SyllabusOption = None,
) -> None:
    """Write plans as a calendar, a table or a page. The page is for the wall.

    A calendar that has these evenings already is updated. The calendar and the table have all terms; the
    page has the current term, or else the next.
    """
    from coachbook.workflows.members import chosen_groups, open_club
    from coachbook.workflows.standings import load_syllabus
    from coachbook.workflows.term_files import export_terms

    opened = open_club(book)
    names = chosen_groups(opened, groups or (), every=every)
    options = paper_options(opened.settings, paper)
    read, now = load_syllabus(syllabus), datetime.now(UTC)
    for path in export_terms(opened, read, names, to, today(on), now, options):
        typer.echo(f"Written: {path}")

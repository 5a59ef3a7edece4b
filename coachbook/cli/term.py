"""`coachbook term`: what to teach on which evening."""

from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from coachbook.cli.console import show_table
from coachbook.cli.options import (
    BookOption,
    GroupOption,
    JsonOption,
    PaperOption,
    SyllabusOption,
    noun,
    read_date,
    read_number,
    read_weekday,
)
from coachbook.cli.reports import print_json
from coachbook.model.syllabus import Syllabus
from coachbook.model.term import TermPlan
from coachbook.paper.options import PaperOptions, PaperSize

if TYPE_CHECKING:
    from collections.abc import Iterator

app = noun("The plan of a group's term.")

PdfOption = Annotated[
    Path | None, typer.Option("--pdf", metavar="FILE", help="Write the plan for the wall, too.")
]


@app.command("plan")
def plan(
    starts_on: Annotated[date, typer.Option("--from", parser=read_date, metavar="DATE", help="First day.")],
    ends_on: Annotated[date, typer.Option("--to", parser=read_date, metavar="DATE", help="Last day.")],
    weekday: Annotated[
        int, typer.Option("--weekday", parser=read_weekday, metavar="DAY", help="Such as thursday, or thu.")
    ],
    minutes: Annotated[
        int, typer.Option("--minutes", parser=read_number, metavar="N", help="The length of an evening.")
    ],
    skip: Annotated[
        list[date] | None,
        typer.Option("--skip", parser=read_date, metavar="DATE", help="No meeting; may be given again."),
    ] = None,
    group: GroupOption = None,
    pdf: PdfOption = None,
    paper: PaperOption = PaperSize.A4,
    book: BookOption = None,
    syllabus: SyllabusOption = None,
) -> None:
    """Plan a group's term, evening by evening, and keep the plan."""
    from coachbook.workflows.members import open_club
    from coachbook.workflows.planning import plan_group_term
    from coachbook.workflows.teaching import load_syllabus

    read = load_syllabus(syllabus)
    name, made = plan_group_term(
        open_club(book),
        read,
        group,
        starts_on=starts_on,
        ends_on=ends_on,
        weekday=weekday,
        minutes=minutes,
        skip=skip or [],
        wall=pdf,
        options=PaperOptions(size=paper),
    )
    _show(name, made, read, pdf)


@app.command("show")
def show(
    group: GroupOption = None,
    pdf: PdfOption = None,
    paper: PaperOption = PaperSize.A4,
    book: BookOption = None,
    syllabus: SyllabusOption = None,
    as_json: JsonOption = False,
) -> None:
    """Show a group's plan again."""
    from coachbook.workflows.members import open_club
    from coachbook.workflows.planning import print_term, term_of
    from coachbook.workflows.teaching import load_syllabus

    read, opened = load_syllabus(syllabus), open_club(book)
    name, kept = term_of(opened, group)
    if pdf is not None:
        print_term(opened, read, name, kept, pdf, PaperOptions(size=paper))
    if as_json:
        print_json({"group": name, "plan": kept})
    else:
        _show(name, kept, read, pdf)


def _show(group: str, plan: TermPlan, syllabus: Syllabus, pdf: Path | None) -> None:
    titles = {unit.code: unit.title for unit in syllabus.units}
    typer.echo(f"{group}: {len(plan.sessions)} evenings, {plan.starts_on} to {plan.ends_on}")
    typer.echo()
    show_table(("Evening", "Min", "For", "Unit", "Why"), list(_rows(plan, titles)))
    typer.echo()
    left_over = ", ".join(titles.get(code, code) for code in plan.left_over)
    typer.echo(f"Did not fit: {left_over}." if left_over else "Every unit fits.")
    if pdf is not None:
        typer.echo(f"Written: {pdf}")


def _rows(plan: TermPlan, titles: dict[str, str]) -> "Iterator[tuple[str, ...]]":
    for session in plan.sessions:
        day = str(session.on)
        for slot in session.slots:
            title = titles.get(slot.unit, slot.unit) or "mixed"
            yield day, str(slot.minutes), slot.kind, title, slot.why
            day = ""

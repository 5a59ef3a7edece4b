"""`coachbook evening`: everything before and after a club evening, in one go."""

from datetime import date
from pathlib import Path
from typing import Annotated

import typer

from coachbook.cli.console import progress_bar
from coachbook.cli.hints import in_words
from coachbook.cli.options import (
    BookOption,
    LargeOption,
    LettersOption,
    NotationOption,
    PaperOption,
    SyllabusOption,
    TwoSidesOption,
    noun,
    paper_options,
    today,
)
from coachbook.errors import CoachbookError
from coachbook.model.reading import read_date
from coachbook.paper.print_options import Notation, PaperSize

app = noun("A club evening: prepare it, and close it.")

DayArgument = Annotated[
    date | None,
    typer.Argument(metavar="[DATE]", parser=read_date, help="The evening, if not the next one."),
]
EveningOption = Annotated[
    date | None, typer.Option("--date", metavar="DATE", parser=read_date, help="The same as DATE alone.")
]
GroupsOption = Annotated[
    list[str] | None, typer.Option("--group", metavar="GROUP", help="Only this group; may be given again.")
]


def one_day(day: date | None, on: date | None) -> date | None:
    """The evening that is named, as an argument or an option. Raises CoachbookError for two of them."""
    if day is not None and on is not None and day != on:
        raise CoachbookError(f"Which evening: {day} or {on}?", "Give one date.")
    return day or on


@app.command("prepare")
def prepare(
    day: DayArgument = None,
    on: EveningOption = None,
    group: GroupsOption = None,
    to: Annotated[Path | None, typer.Option("--to", metavar="FOLDER", help="Where to put the files.")] = None,
    paper: PaperOption = PaperSize.A4,
    notation: NotationOption = Notation.FIGURINE,
    letters: LettersOption = None,
    large: LargeOption = False,
    two_sides: TwoSidesOption = False,
    book: BookOption = None,
    syllabus: SyllabusOption = None,
) -> None:
    """Make everything for an evening: one file for the printer, one for you."""
    from coachbook.workflows.members import open_club
    from coachbook.workflows.preparing import prepare_evening
    from coachbook.workflows.standings import load_syllabus

    day = one_day(day, on)
    opened, read = open_club(book), load_syllabus(syllabus)
    options = paper_options(paper, notation, letters, large=large, two_sides=two_sides, own=opened.letters)
    with progress_bar() as progress:
        made = prepare_evening(
            opened, read, day, group or [], to, today(None), options, progress, in_words=in_words
        )
    typer.echo(f"{made.on}: {', '.join(made.groups)}")
    typer.echo(f"For the printer: {made.printer_pdf} ({made.pages} pages)")
    typer.echo(f"For you:         {made.coach_pdf}")
    for note in made.notes:
        typer.echo(note)
    if made.is_first:
        typer.echo(f"Afterwards: coachbook evening close {made.on}")
        return
    if made.same_files:
        typer.echo("Nothing has changed since these papers were made.")
    elif made.changes:
        typer.echo("Changed since these papers were made:")
        for change in made.changes:
            typer.echo(f"  {change}")
    else:
        typer.echo("The same sheets and cards for all who are in the group now, printed again.")

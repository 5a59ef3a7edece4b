"""`coachbook review`: who needs review."""

from dataclasses import asdict
from pathlib import Path
from secrets import randbelow
from typing import TYPE_CHECKING, Annotated

import typer

from coachbook.cli.console import show_table
from coachbook.cli.options import (
    BookOption,
    DateOption,
    FolderOption,
    GroupOption,
    JsonOption,
    PaperOption,
    SyllabusOption,
    read_number,
    today,
)
from coachbook.cli.reports import one_line, print_json
from coachbook.paper.options import PaperOptions, PaperSize

if TYPE_CHECKING:
    from coachbook.model.progress import ReviewAdvice
    from coachbook.workflows.reviewing import Reviews

_HERE = Path()
_SEEDS = 1_000_000


def review(
    group: GroupOption = None,
    on: DateOption = None,
    papers: Annotated[
        bool, typer.Option("--print", help="Make the sheets and cards for exactly this review.")
    ] = False,
    seed: Annotated[
        int | None,
        typer.Option("--seed", parser=read_number, metavar="N", help="Choose the same positions again."),
    ] = None,
    to: FolderOption = _HERE,
    paper: PaperOption = PaperSize.A4,
    book: BookOption = None,
    syllabus: SyllabusOption = None,
    as_json: JsonOption = False,
) -> None:
    """Say who needs review by the next planned evening, most urgent first, why, and what to give."""
    from coachbook.workflows.members import open_club
    from coachbook.workflows.reviewing import reviews_due
    from coachbook.workflows.teaching import load_syllabus

    opened, read, day = open_club(book), load_syllabus(syllabus), today(on)
    found = reviews_due(opened, read, group, day)
    advice = found.advice
    if as_json:
        print_json([{**asdict(each), "due_by": found.due_by} for each in advice])
    else:
        _show(found)
    if papers and advice:
        from coachbook.workflows.review_papers import make_review

        chosen = randbelow(_SEEDS) if seed is None else seed
        made = make_review(opened, read, advice, day, chosen, to, PaperOptions(paper))
        for file in made.files:
            typer.echo(one_line(f"Written: {file}"), err=as_json)
        for name in made.short:
            typer.echo(f"For {name} no fresh positions are left.", err=as_json)


def _show(found: "Reviews") -> None:
    by = f"by {found.due_by}, the next evening" if found.is_planned else ""
    if not found.advice:
        typer.echo(f"Nobody needs review{by and ' '}{by}.")
        return
    if by:
        typer.echo(f"Due {by}:")
    show_table(
        ("Student", "Due", "Why", "Give", "Sure"),
        [(each.student, str(each.due_on), each.reason, _give(each), _sure(each)) for each in found.advice],
    )


def _give(advice: "ReviewAdvice") -> str:
    return advice.play_out or f"{advice.items} items"


def _sure(advice: "ReviewAdvice") -> str:
    return "yes" if advice.is_sure else "little evidence"

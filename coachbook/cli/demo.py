"""`coachbook demo`: a whole first evening, to see what coachbook does."""

import sys
from datetime import UTC, datetime
from pathlib import Path
from typing import Annotated

import typer

from coachbook.cli.console import show_table
from coachbook.cli.options import SyllabusOption
from coachbook.paper.options import PaperOptions


def demo(
    folder: Annotated[
        Path, typer.Argument(metavar="FOLDER", help="A new folder for everything that is made.")
    ],
    club: Annotated[
        Path | None,
        typer.Option("--club", metavar="FOLDER", help="Another club's tables, in the shape of sample_club."),
    ] = None,
    syllabus: SyllabusOption = None,
) -> None:
    """Play the first evening of an invented club: book, term plan, papers, log, and who needs review."""
    from coachbook.workflows.demo import play_first_evening
    from coachbook.workflows.places import shipped_folder
    from coachbook.workflows.teaching import load_syllabus

    evening = play_first_evening(
        club or shipped_folder("sample_club"),
        folder,
        load_syllabus(syllabus),
        datetime.now(UTC),
        PaperOptions(),
        lambda what: typer.echo(f"... {what}", err=True) if sys.stderr.isatty() else None,
    )
    results = evening.answers.results
    right = sum(result.right for result in results)
    there = sum(entry.present for entry in evening.attendance.attendance)
    typer.echo(f"{evening.club}, first evening {evening.on}.")
    typer.echo(f"{there} students were there; of their {len(results)} answers {right} were right.")
    typer.echo()
    typer.echo(f"Written to {folder}:")
    for name in evening.files:
        typer.echo(f"  {name}")
    typer.echo()
    typer.echo(f"Who needs review on {evening.review_on}, and why:")
    show_table(
        ("Student", "Since", "Why"),
        [(advice.student, str(advice.due_on), advice.reason) for advice in evening.advice],
    )
    typer.echo()
    typer.echo(f"Try next: coachbook review --book {folder / 'club.book'} --date {evening.review_on}")

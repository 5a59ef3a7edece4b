"""`coachbook card`: positions to play out against the coach."""

from pathlib import Path

import typer

from coachbook.cli.care import counted
from coachbook.cli.options import (
    BookOption,
    FolderOption,
    GroupOption,
    PaperOption,
    StudentOption,
    SyllabusOption,
    UnitOption,
    noun,
)
from coachbook.paper.options import PaperOptions, PaperSize

app = noun("Play-out cards: positions to play out against the coach.")

_HERE = Path()


@app.command("make")
def make(
    unit: UnitOption,
    group: GroupOption = None,
    student: StudentOption = None,
    to: FolderOption = _HERE,
    paper: PaperOption = PaperSize.A4,
    book: BookOption = None,
    syllabus: SyllabusOption = None,
) -> None:
    """Print a unit's play-out cards: for a group, for a student, or with a blank line for the name."""
    from coachbook.workflows.cards import make_cards
    from coachbook.workflows.members import open_club
    from coachbook.workflows.sheets import students_asked_for
    from coachbook.workflows.teaching import load_syllabus

    read, opened = load_syllabus(syllabus), open_club(book)
    named = group is not None or student is not None
    students = students_asked_for(opened, group, student) if named else ()
    path, number = make_cards(opened, read, read.unit(unit), students, to, PaperOptions(paper))
    typer.echo(f"Written: {path}")
    each = f", {number // len(students)} for each of {len(students)} students" if len(students) > 1 else ""
    typer.echo(f"In it: {counted(number, 'card')}{each}.")

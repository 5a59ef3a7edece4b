"""`coachbook lesson`: the coach's plan for teaching a unit."""

from pathlib import Path

import typer

from coachbook.cli.options import (
    BookOption,
    DateOption,
    FolderOption,
    GroupOption,
    LettersOption,
    NotationOption,
    PaperOption,
    SyllabusOption,
    UnitOption,
    noun,
    paper_options,
    today,
)
from coachbook.paper.options import Notation, PaperSize

app = noun("Lesson plans.")

_HERE = Path()


@app.command("make")
def make(
    unit: UnitOption,
    group: GroupOption = None,
    to: FolderOption = _HERE,
    paper: PaperOption = PaperSize.A4,
    notation: NotationOption = Notation.FIGURINE,
    letters: LettersOption = None,
    on: DateOption = None,
    book: BookOption = None,
    syllabus: SyllabusOption = None,
) -> None:
    """Print the lesson plan of a unit: what to say and show, what to ask, the rules, the proof."""
    from coachbook.workflows.lesson import make_lesson
    from coachbook.workflows.members import open_club
    from coachbook.workflows.teaching import load_syllabus

    opened, read = open_club(book), load_syllabus(syllabus)
    options = paper_options(paper, notation, letters, own=opened.letters)
    path = make_lesson(opened, read, read.unit(unit), group, today(on), to, options)
    typer.echo(f"Written: {path}")

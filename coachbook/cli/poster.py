"""`coachbook poster`: a method's rules for the wall."""

from pathlib import Path
from typing import Annotated

import typer

from coachbook.cli.options import (
    BookOption,
    FolderOption,
    LettersOption,
    NotationOption,
    PaperOption,
    SyllabusOption,
    noun,
    paper_options,
)
from coachbook.paper.options import Notation, PaperSize

app = noun("Posters of the methods, for the wall.")

_HERE = Path()


@app.command("make")
def make(
    method: Annotated[str, typer.Argument(metavar="METHOD", help="Such as queen-box.")],
    to: FolderOption = _HERE,
    paper: PaperOption = PaperSize.A4,
    notation: NotationOption = Notation.FIGURINE,
    letters: LettersOption = None,
    book: BookOption = None,
    syllabus: SyllabusOption = None,
) -> None:
    """Print a method's rules on one page, with two boards and how it is known to work."""
    from coachbook.workflows.members import letters_of_club
    from coachbook.workflows.poster import make_poster
    from coachbook.workflows.teaching import load_syllabus

    # A poster needs no book, but for the club's own letters.
    own = letters_of_club(book) if notation is Notation.LETTERS and letters is None else ""
    options = paper_options(paper, notation, letters, own=own)
    typer.echo(f"Written: {make_poster(load_syllabus(syllabus), method, to, options)}")

"""`coachbook lesson`, `poster` and `card`: the papers of a unit."""

from pathlib import Path
from typing import Annotated

import typer

from coachbook.cli.care_commands import counted
from coachbook.cli.options import (
    BookOption,
    DateOption,
    FolderOption,
    GroupOption,
    LettersOption,
    NotationOption,
    PaperOption,
    StudentOption,
    SyllabusOption,
    UnitOption,
    noun,
    paper_options,
    today,
)
from coachbook.paper.print_options import Notation, PaperOptions, PaperSize

lesson_app = noun("Lesson plans.")

_HERE = Path()


@lesson_app.command("make")
def make_lesson(
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
    from coachbook.workflows.members import open_club
    from coachbook.workflows.standings import load_syllabus
    from coachbook.workflows.unit_papers import make_lesson

    opened, read = open_club(book), load_syllabus(syllabus)
    options = paper_options(paper, notation, letters, own=opened.letters)
    path = make_lesson(opened, read, read.unit(unit), group, today(on), to, options)
    typer.echo(f"Written: {path}")


poster_app = noun("Posters of the methods, for the wall.")


@poster_app.command("make")
def make_poster(
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
    from coachbook.workflows.standings import load_syllabus
    from coachbook.workflows.unit_papers import make_poster

    # A poster needs no book, but for the club's own letters.
    own = letters_of_club(book) if notation is Notation.LETTERS and letters is None else ""
    options = paper_options(paper, notation, letters, own=own)
    typer.echo(f"Written: {make_poster(load_syllabus(syllabus), method, to, options)}")


card_app = noun("Play-out cards: positions to play out against the coach.")


@card_app.command("make")
def make_cards(
    unit: UnitOption,
    group: GroupOption = None,
    student: StudentOption = None,
    to: FolderOption = _HERE,
    paper: PaperOption = PaperSize.A4,
    book: BookOption = None,
    syllabus: SyllabusOption = None,
) -> None:
    """Print a unit's play-out cards: for a group, for a student, or with a blank line for the name."""
    from coachbook.workflows.members import open_club
    from coachbook.workflows.printed_sheets import students_asked_for
    from coachbook.workflows.standings import load_syllabus
    from coachbook.workflows.unit_papers import make_cards

    read, opened = load_syllabus(syllabus), open_club(book)
    named = group is not None or student is not None
    students = students_asked_for(opened, group, student) if named else ()
    path, number = make_cards(opened, read, read.unit(unit), students, to, PaperOptions(paper))
    typer.echo(f"Written: {path}")
    each = f", {number // len(students)} for each of {len(students)} students" if len(students) > 1 else ""
    typer.echo(f"In it: {counted(number, 'card')}{each}.")

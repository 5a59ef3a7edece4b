"""`coachbook club` and `coachbook demo`: the club and its book, and a whole first evening to look at."""

import sys
from datetime import UTC, datetime
from pathlib import Path
from typing import Annotated

import typer

from coachbook.cli.console import print_json
from coachbook.cli.hints import in_words as hint_in_words
from coachbook.cli.hints import tell_next
from coachbook.cli.options import BookOption, FolderOption, JsonOption, SyllabusOption, noun
from coachbook.cli.report_commands import show_reviews
from coachbook.cli.settings_commands import letters, set_
from coachbook.model.print_options import PaperOptions
from coachbook.wording.counting import shown_day

app = noun("The club and its book.", "new show set letters")


@app.command("new")
def new(
    name: Annotated[str, typer.Argument(metavar="NAME", help="The club's name.")], book: BookOption = None
) -> None:
    """Make a new, empty book for a club."""
    from coachbook.files.reading import usual_book
    from coachbook.workflows.members import new_club

    made = new_club(book or usual_book(), name)
    typer.echo(f"{made.club_name} has a book: {made.path}")
    tell_next("group", "add", "GROUP", book=book)


@app.command("show")
def show(book: BookOption = None, as_json: JsonOption = False) -> None:
    """Show the club, its groups, and where its book is."""
    from coachbook.workflows.members import groups_of, open_club, students_of

    opened = open_club(book)
    groups, students = groups_of(opened), students_of(opened)
    if as_json:
        print_json(
            {
                "club": opened.club_name,
                "book": str(opened.path),
                "letters": opened.letters,
                "students": len(students),
                "groups": [{"name": group.name, "size": group.size} for group in groups],
            }
        )
        return
    typer.echo(opened.club_name)
    typer.echo(f"Book      {opened.path}")
    typer.echo(f"Letters   {opened.letters or 'English (KQRBN)'}")
    typer.echo(f"Students  {len(students)}")
    typer.echo(f"Groups    {', '.join(f'{group.name} ({group.size})' for group in groups) or 'none yet'}")


app.command("set")(set_)
app.command("letters", hidden=True)(letters)


def demo(
    to: FolderOption = None,
    club: Annotated[
        Path | None,
        typer.Option("--club", metavar="FOLDER", help="Another club's tables, in the shape of sample_club."),
    ] = None,
    syllabus: SyllabusOption = None,
) -> None:
    """Play the first evening of an invented club. It makes a book, plans, papers and a log, and says who
    needs review.

    Everything is put into a new folder, coachbook-demo if no other is named.
    """
    from coachbook.files.reading import shipped_folder
    from coachbook.workflows.demo import play_first_evening
    from coachbook.workflows.standings import load_syllabus

    folder = to or Path("coachbook-demo")
    evening = play_first_evening(
        club or shipped_folder("sample_club"),
        folder,
        load_syllabus(syllabus),
        datetime.now(UTC),
        PaperOptions(),
        lambda what: typer.echo(f"... {what}", err=True) if sys.stderr.isatty() else None,
        hint_in_words,
    )
    results = evening.answers.results
    right = sum(result.right for result in results)
    there = sum(entry.present for entry in evening.attendance.attendance)
    typer.echo(f"{evening.club}, first evening {shown_day(evening.on)}.")
    typer.echo(f"{there} students were there; of their {len(results)} answers {right} were right.")
    typer.echo()
    typer.echo(f"Written to {folder}; open them in this order:")
    for name in evening.files:
        typer.echo(f"  {name}")
    typer.echo()
    show_reviews(evening.reviews)
    typer.echo()
    tell_next("review", "--date", str(evening.on), book=folder / "club.book")

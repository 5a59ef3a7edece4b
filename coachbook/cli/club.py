"""`coachbook club`: the club and its book."""

from typing import Annotated

import typer

from coachbook.cli.options import BookOption, JsonOption, noun
from coachbook.cli.reports import print_json

app = noun("The club and its book.")


@app.command("new")
def new(
    name: Annotated[str, typer.Argument(metavar="NAME", help="The club's name.")], book: BookOption = None
) -> None:
    """Make a new, empty book for a club."""
    from coachbook.workflows.members import new_club
    from coachbook.workflows.places import usual_book

    made = new_club(book or usual_book(), name)
    typer.echo(f"{made.club_name} has a book: {made.path}")
    typer.echo(
        "Next: coachbook group add GROUP; coachbook student add NAME --group GROUP; coachbook term plan"
    )


@app.command("letters")
def letters(
    pieces: Annotated[
        str,
        typer.Argument(
            metavar="KQRBN|none", help="King, queen, rook, bishop, knight in your language, such as KDTLS."
        ),
    ],
    book: BookOption = None,
) -> None:
    """Say with which letters the club writes moves: answers in them are read, and papers that are asked
    for with --notation letters have them."""
    from coachbook.workflows.members import choose_letters, open_club

    chosen = choose_letters(open_club(book), "" if pieces.lower() == "none" else pieces)
    which = f"the letters {chosen}, or English ones" if chosen else "English letters"
    typer.echo(f"Answers are read with {which}.")
    if chosen:
        typer.echo("Papers are printed with them if you give --notation letters.")


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
                "groups": groups,
            }
        )
        return
    typer.echo(opened.club_name)
    typer.echo(f"Book      {opened.path}")
    typer.echo(f"Letters   {opened.letters or 'English (KQRBN)'}")
    typer.echo(f"Students  {len(students)}")
    typer.echo(f"Groups    {', '.join(f'{group.name} ({group.size})' for group in groups) or 'none yet'}")

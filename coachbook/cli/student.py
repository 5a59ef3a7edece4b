"""`coachbook student`: who is in the club."""

from pathlib import Path
from typing import Annotated

import typer

from coachbook.cli.console import show_table
from coachbook.cli.options import BookOption, GroupOption, JsonOption, noun
from coachbook.cli.reports import print_json, stop_if_any

app = noun("The students of the club.")


@app.command("add")
def add(
    name: Annotated[str, typer.Argument(metavar="NAME", help="The name to call the student by.")],
    group: Annotated[
        list[str] | None, typer.Option("--group", metavar="GROUP", help="A group; may be given again.")
    ] = None,
    book: BookOption = None,
) -> None:
    """Add a student."""
    from coachbook.workflows.members import add_member, open_club

    student = add_member(open_club(book), name, group or [])
    typer.echo(f"Added: {student.name} ({', '.join(student.groups) or 'in no group'})")


@app.command("list")
def list_(group: GroupOption = None, book: BookOption = None, as_json: JsonOption = False) -> None:
    """List the students of the club, or of a group."""
    from coachbook.workflows.members import open_club, students_of

    students = students_of(open_club(book), group)
    if as_json:
        print_json([{"name": student.name, "groups": student.groups} for student in students])
    elif students:
        show_table(("Student", "Groups"), [(each.name, ", ".join(each.groups)) for each in students])
    else:
        typer.echo("There is no student yet. Add one with 'coachbook student add NAME'.")


@app.command("import")
def import_(
    file: Annotated[Path, typer.Argument(metavar="FILE.csv", help="A table with columns name and group.")],
    book: BookOption = None,
) -> None:
    """Add the students of a table, all of them or none; groups that are missing are made."""
    from coachbook.workflows.members import import_students, open_club

    count, problems = import_students(open_club(book), file)
    stop_if_any(problems)
    typer.echo(f"Added: {count} {'student' if count == 1 else 'students'}")

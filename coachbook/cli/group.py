"""`coachbook group`: the teaching groups."""

from pathlib import Path
from typing import Annotated

import typer

from coachbook.cli.console import show_table
from coachbook.cli.options import (
    BookOption,
    DateOption,
    JsonOption,
    PaperOption,
    SyllabusOption,
    noun,
    today,
)
from coachbook.cli.overview import show_overview
from coachbook.cli.reports import print_json
from coachbook.paper.options import PaperOptions, PaperSize

app = noun("The teaching groups of the club.")

GroupArgument = Annotated[str, typer.Argument(metavar="GROUP", help="The group's name.")]
StudentsArgument = Annotated[list[str], typer.Argument(metavar="STUDENT...", help="One or more names.")]


@app.command("add")
def add(
    name: Annotated[str, typer.Argument(metavar="NAME", help="The new group's name.")],
    book: BookOption = None,
) -> None:
    """Add a group."""
    from coachbook.workflows.members import add_teaching_group, open_club

    typer.echo(f"Added: {add_teaching_group(open_club(book), name).name}")


@app.command("list")
def list_(book: BookOption = None, as_json: JsonOption = False) -> None:
    """List the groups and how many students each has."""
    from coachbook.workflows.members import groups_of, open_club

    groups = groups_of(open_club(book))
    if as_json:
        print_json(groups)
    elif groups:
        show_table(("Group", "Students"), [(group.name, str(group.size)) for group in groups])
    else:
        typer.echo("There is no group yet. Add one with 'coachbook group add NAME'.")


@app.command("show")
def show(
    group: Annotated[
        str | None, typer.Argument(metavar="[GROUP]", help="The group's name, if there are several.")
    ] = None,
    every_unit: Annotated[bool, typer.Option("--every-unit", help="Also units that nobody began.")] = False,
    pdf: Annotated[Path | None, typer.Option("--pdf", metavar="FILE", help="Write it on paper, too.")] = None,
    paper: PaperOption = PaperSize.A4,
    on: DateOption = None,
    book: BookOption = None,
    syllabus: SyllabusOption = None,
    as_json: JsonOption = False,
) -> None:
    """Show who stands where, the most frequent slips, and how the term went."""
    from coachbook.workflows.group_overview import group_overview
    from coachbook.workflows.members import open_club
    from coachbook.workflows.teaching import load_syllabus

    seen = group_overview(open_club(book), load_syllabus(syllabus), group, today(on), every_unit=every_unit)
    if pdf is not None:
        from coachbook.paper.overview import write_overview

        write_overview(seen, pdf, PaperOptions(paper))
    if as_json:
        print_json(seen)
    else:
        show_overview(seen)
        if pdf is not None:
            typer.echo(f"Written: {pdf}")


@app.command("put")
def put(group: GroupArgument, students: StudentsArgument, book: BookOption = None) -> None:
    """Put students in a group."""
    from coachbook.workflows.members import open_club, put_members

    _show(put_members(open_club(book), students, group))


@app.command("take")
def take(group: GroupArgument, students: StudentsArgument, book: BookOption = None) -> None:
    """Take students out of a group; what they did stays in the book."""
    from coachbook.workflows.members import open_club, take_members

    _show(take_members(open_club(book), students, group))


def _show(members: tuple[str, tuple[str, ...]]) -> None:
    group, names = members
    typer.echo(f"{group} ({len(names)}): {', '.join(names) or 'nobody'}")

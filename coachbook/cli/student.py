"""`coachbook student`: who is in the club."""

import shlex
from datetime import UTC, datetime
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from coachbook.cli.care import OUT_OF_REACH, ask_for_name, counted, tell_damaged, tell_way_back
from coachbook.cli.console import show_table
from coachbook.cli.options import BookOption, GroupOption, JsonOption, noun
from coachbook.cli.reports import print_json, stop_if_any

if TYPE_CHECKING:
    from coachbook.club.erase import Rewritten
    from coachbook.workflows.members import Imported

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
    _tell_unprintable([student.name])


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
    preview: Annotated[bool, typer.Option("--preview", help="Only say what would be added.")] = False,
    book: BookOption = None,
) -> None:
    """Add the students of a table, all of them or none; groups that are missing are made, and told."""
    from coachbook.workflows.members import import_students, open_club, preview_import, students_of

    opened = open_club(book)
    done = preview_import(opened, file) if preview else import_students(opened, file, datetime.now(UTC))
    stop_if_any(done.problems)
    if preview:
        typer.echo(f"To be added: {counted(done.students, 'student')}")
        _tell_new_groups(done)
        typer.echo("Nothing was kept.")
        return
    typer.echo(f"Added: {counted(done.students, 'student')}")
    _tell_new_groups(done)
    if done.before:
        tell_way_back(done.before)
    _tell_unprintable([student.name for student in students_of(opened)])


@app.command("rename")
def rename(
    old: Annotated[str, typer.Argument(metavar="OLD", help="The name as it is.")],
    new: Annotated[str, typer.Argument(metavar="NEW", help="The name as it is to be.")],
    book: BookOption = None,
) -> None:
    """Give a student another name, also in the book's own backups and in notes."""
    from coachbook.workflows.care import rename_member
    from coachbook.workflows.members import open_club

    done = rename_member(open_club(book), old, new)
    name = " ".join(new.split())
    typer.echo(f"Renamed: {done.student} is {name}{_told(done)}.")
    typer.echo(f"To take it back: coachbook student rename {shlex.quote(name)} {shlex.quote(done.student)}")
    tell_damaged(done.damaged, "coachbook cannot read this, and it may hold the old name; delete it if so")


@app.command("erase")
def erase(
    name: Annotated[str, typer.Argument(metavar="NAME", help="The student's name.")],
    yes: Annotated[bool, typer.Option("--yes", help="Do not ask.")] = False,
    book: BookOption = None,
) -> None:
    """Erase a student, with every trace, from the book and its own backups."""
    from coachbook.workflows.care import erase_member, not_ours, traces_of
    from coachbook.workflows.members import open_club

    opened = open_club(book)
    student, facts = traces_of(opened, name)
    tell_damaged(not_ours(opened), "coachbook cannot read this, and it may hold the name; delete it if so")
    if not yes:
        ask_for_name(student, facts)
    done = erase_member(opened, student)
    typer.echo(f"Erased: {student}, with {counted(done.facts, 'fact')}{_told(done)}.")
    typer.echo(OUT_OF_REACH)


def _told(done: "Rewritten") -> str:
    """Where else, after a comma; nothing if there was nothing else."""
    backups = f", here and in {counted(done.backups, 'backup')}" if done.backups else ""
    return f"{backups}; also the name in {counted(done.mentions, 'note')}" if done.mentions else backups


def _tell_new_groups(done: "Imported") -> None:
    """A group that is new because its name was misspelt is easily overlooked."""
    for group in done.new_groups:
        typer.echo(f"New group: {group.name} ({counted(group.size, 'student')})")
        if group.like:
            typer.echo(
                f"  There was a group {group.like} already. If it is meant: coachbook group put"
                f" {shlex.quote(group.like)} NAME..., then coachbook group remove {shlex.quote(group.name)}"
            )


def _tell_unprintable(names: list[str]) -> None:
    """On paper such a name would be no name."""
    from coachbook.workflows.members import cannot_be_printed

    for name in cannot_be_printed(names):
        typer.echo(
            f"'{name}' cannot be printed: coachbook's fonts lack its letters. For paper, give a name in"
            f" others: coachbook student rename {shlex.quote(name)} NAME"
        )

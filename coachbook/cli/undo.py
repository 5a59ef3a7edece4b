"""`coachbook log undo` and `redo`: taking an entry of the log back, and bringing it back."""

from datetime import UTC, datetime
from typing import TYPE_CHECKING, Annotated

import typer

from coachbook.cli.asking import YesOption, agrees, can_ask, tell_how_to_take_back
from coachbook.cli.options import BookOption, SyllabusOption, read_number

if TYPE_CHECKING:
    from coachbook.model.club import LogEntry
    from coachbook.workflows.evening import ListedEntry
    from coachbook.workflows.undo import TakenBack

EntryArgument = Annotated[
    int | None,
    typer.Argument(metavar="[ENTRY]", parser=read_number, help="Its number, if it is not the last."),
]


def undo(
    entry: EntryArgument = None,
    yes: YesOption = False,
    book: BookOption = None,
    syllabus: SyllabusOption = None,
) -> None:
    """Take an entry of the log back, and say what it was; it asks if that is of several students, or a plan.

    What it replaced holds again. For thirty days it can be brought back.
    """
    from coachbook.workflows.members import open_club
    from coachbook.workflows.teaching import load_syllabus
    from coachbook.workflows.undo import undo as take_back
    from coachbook.workflows.undo import what_undo_changes

    opened, read, now = open_club(book), load_syllabus(syllabus), datetime.now(UTC)
    if not yes and can_ask():
        found = what_undo_changes(opened, read, now, entry)
        if found.is_of_several and not _agrees_to_undo(found):
            return
        # What the coach has agreed to, though something else may have been logged meanwhile.
        entry = found.entry.id
    taken = take_back(opened, read, now, entry)
    typer.echo(f"Taken back: {taken.entry.what} (logged on {local_time(taken.entry)}).")
    _show_changes(taken)
    typer.echo(f"To bring it back: coachbook log redo {taken.entry.id}")


def redo(entry: EntryArgument = None, book: BookOption = None, syllabus: SyllabusOption = None) -> None:
    """Bring back an entry that was taken back, where it stood: what was logged later still holds."""
    from coachbook.workflows.members import open_club
    from coachbook.workflows.teaching import load_syllabus
    from coachbook.workflows.undo import redo as bring_back

    brought = bring_back(open_club(book), load_syllabus(syllabus), entry)
    typer.echo(f"Brought back: {brought.entry.what} (logged on {local_time(brought.entry)}).")
    _show_changes(brought)
    tell_how_to_take_back(brought.entry)


def _agrees_to_undo(found: "TakenBack") -> bool:
    contents = found.contents
    evenings = f", evening of {' and '.join(map(str, contents.evenings))}" if contents.evenings else ""
    typer.echo(f"This takes back entry {found.entry.id}, logged on {local_time(found.entry)}:")
    typer.echo(f"  {found.entry.what}{evenings}")
    if contents.students:
        typer.echo(f"  {', '.join(contents.students)}")
    _show_changes(found)
    return agrees("Take it back?", "Nothing was taken back.")


def _show_changes(taken: "TakenBack") -> None:
    for line in taken.changes:
        typer.echo(f"  {line}")
    if taken.contents.groups and not taken.changes:
        typer.echo("  No evening changes: a later plan holds.")


def local_time(entry: "LogEntry | ListedEntry") -> str:
    """When an entry was logged, by the clock where the coach is."""
    return f"{entry.logged_at.astimezone():%Y-%m-%d at %H:%M}"

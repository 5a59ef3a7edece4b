"""`coachbook log`: what happened on an evening."""

from datetime import UTC, datetime
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from coachbook.cli.console import show_table
from coachbook.cli.options import BookOption, DateOption, GroupOption, noun, today
from coachbook.cli.reports import stop_if_any

if TYPE_CHECKING:
    from coachbook.model.club import ItemResult

app = noun("Log an evening: who was there, and what they answered.")


@app.command("answers")
def answers(
    sheet: Annotated[
        str | None, typer.Argument(metavar="SHEET", help="A sheet's code, if not the newest.")
    ] = None,
    csv: Annotated[
        Path | None,
        typer.Option("--csv", metavar="FILE", help="A table: student, item, answer and perhaps sheet."),
    ] = None,
    on: DateOption = None,
    book: BookOption = None,
) -> None:
    """Mark and log answers, typed in student by student or from a table."""
    from coachbook.workflows.evening import answers_from_table, keep_answers
    from coachbook.workflows.members import open_club

    opened, day, now = open_club(book), today(on), datetime.now(UTC)
    if csv is not None:
        logged = answers_from_table(opened, csv, sheet, day, now)
        stop_if_any(logged.problems)
        _show_tally(logged.results)
        entry = logged.entry
    else:
        from coachbook.cli.entry import type_answers
        from coachbook.workflows.entry import sheets_to_log

        typed = type_answers(sheets_to_log(opened, sheet, day), day)
        entry = keep_answers(opened, typed, datetime.now(UTC)) if typed else None
    typer.echo(f"Kept: {entry.what}." if entry else "Nothing was kept.")


@app.command("attendance")
def attendance(
    present: Annotated[
        list[str] | None, typer.Argument(metavar="[NAME]...", help="Those who were there.")
    ] = None,
    csv: Annotated[
        Path | None,
        typer.Option("--csv", metavar="FILE", help="A table: date, student, present (yes or no)."),
    ] = None,
    group: GroupOption = None,
    on: DateOption = None,
    book: BookOption = None,
) -> None:
    """Log who was there: named here, typed in, or from a table."""
    from coachbook.workflows.entry import class_list, who_was_there
    from coachbook.workflows.evening import attendance_from_table, keep_attendance
    from coachbook.workflows.members import open_club

    opened, day = open_club(book), today(on)
    if csv is not None:
        logged = attendance_from_table(opened, csv, datetime.now(UTC))
        stop_if_any(logged.problems)
        entry = logged.entry
    elif present:
        entry = keep_attendance(opened, who_was_there(opened, group, present), day, datetime.now(UTC))
    else:
        from coachbook.cli.entry import type_absences

        told = type_absences(*class_list(opened, group), day)
        entry = keep_attendance(opened, told, day, datetime.now(UTC)) if told else None
    typer.echo(f"Kept: {entry.what}." if entry else "Nothing was kept.")


@app.command("undo")
def undo(book: BookOption = None) -> None:
    """Take the last entry back, and say what it was."""
    from coachbook.workflows.evening import take_back
    from coachbook.workflows.members import open_club

    entry = take_back(open_club(book))
    typer.echo(f"Taken back: {entry.what} (logged on {entry.logged_at.astimezone():%Y-%m-%d at %H:%M}).")


def _show_tally(results: "tuple[ItemResult, ...]") -> None:
    from coachbook.workflows.evening import tally

    show_table(
        ("Student", "Right", "Slips"),
        [(each.student, f"{each.right} of {each.tried}", each.slips) for each in tally(results)],
    )
    typer.echo()

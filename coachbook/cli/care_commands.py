"""`coachbook backup`, `restore` and `check`: care of the club's data; and how an erasure is told."""

import shlex
from collections.abc import Sequence
from datetime import UTC, date, datetime
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from coachbook.cli.asking import PreviewOption, check_can_agree
from coachbook.cli.console import print_json, problems_as_json, progress_bar, stop_if_any
from coachbook.cli.options import BookOption, DateOption, JsonOption, read_number, today
from coachbook.errors import InterruptedEntryError

if TYPE_CHECKING:
    from coachbook.club.book_check import Counts
    from coachbook.workflows.care import ToBringBack
    from coachbook.workflows.checking import Checked


NOTHING_ERASED = "Nothing was erased."


def backup(
    to: Annotated[
        Path | None,
        typer.Option("--to", metavar="FILE", help="A new file, such as one on a USB stick."),
    ] = None,
    book: BookOption = None,
) -> None:
    """Make a backup of the book, and check that it is whole."""
    from coachbook.workflows.care import make_backup
    from coachbook.workflows.members import open_club

    made = make_backup(open_club(book), to, datetime.now(UTC))
    typer.echo(f"Backed up and checked: {_held(made.counts)}.")
    typer.echo(f"The backup: {made.path}")
    typer.echo(f"To bring it back: coachbook restore {shlex.quote(str(to or made.path.name))}")


def restore(
    backup: Annotated[
        Path,
        typer.Argument(metavar="BACKUP", help="A backup: a file, or the name of one of coachbook's own."),
    ],
    preview: PreviewOption = False,
    book: BookOption = None,
) -> None:
    """Give the book the contents of a backup. First a backup is made of the book as it is."""
    from coachbook.workflows.care import bring_back, look_at_backup

    if preview:
        _tell_of_backup(look_at_backup(book, backup))
        return
    result = bring_back(book, backup, datetime.now(UTC))
    typer.echo(f"Brought back: {_held(result.counts)}.")
    if result.done.came_back:
        typer.echo(f"In the book again: {', '.join(result.done.came_back)}.")
        typer.echo("If one of them had been erased, do it again with 'coachbook student erase NAME'.")
    if result.done.gone:
        typer.echo(f"No longer in the book: {', '.join(result.done.gone)}.")
    if result.done.before:
        tell_way_back(result.done.before)


def _tell_of_backup(seen: "ToBringBack") -> None:
    typer.echo(f"The backup holds {_held(seen.backup)}.")
    if seen.book is None:
        typer.echo(f"There is no book {seen.path} yet: it would be made.")
    else:
        typer.echo(f"The book holds {_held(seen.book)}; all of it would be replaced, and kept as a backup.")
    if seen.come_back:
        typer.echo(f"In the book again: {', '.join(seen.come_back)}.")
    if seen.gone:
        typer.echo(f"No longer in the book: {', '.join(seen.gone)}.")
    typer.echo("Nothing was kept.")


def check(
    months: Annotated[
        int,
        typer.Option(
            "--months",
            parser=read_number,
            metavar="N",
            help="List students who have not been seen for this many months.",
        ),
    ] = 12,
    on: DateOption = None,
    book: BookOption = None,
    as_json: JsonOption = False,
) -> None:
    """Check the book and its backups. It also lists students who have not been seen for a long time."""
    from coachbook.wording.care_words import renamed_slip
    from coachbook.wording.counting import counted
    from coachbook.workflows.checking import check_book
    from coachbook.workflows.members import open_club

    opened = open_club(book)
    with progress_bar() as progress:
        checked = check_book(opened, today(on), months, progress)
    if as_json:
        print_json(_as_json(checked))
        stop_if_any(checked.findings)
        return
    for old, new, number in checked.renamed_slips:
        typer.echo(renamed_slip(old, new, number))
    _tell_typed(checked)
    _tell_outdated(checked)
    _remind(checked, months)
    stop_if_any(checked.findings)
    held = f"{counted(checked.students, 'student')}, {counted(checked.sheets, 'sheet')}"
    answers, backups = counted(checked.answers, "answer"), counted(checked.backups, "backup")
    typer.echo(f"All is well: {held}, {answers}, {backups}.")


def _as_json(checked: "Checked") -> dict[str, object]:
    """As other programs read it: lists of flat things."""
    return {
        "students": checked.students,
        "sheets": checked.sheets,
        "answers": checked.answers,
        "backups": checked.backups,
        "findings": problems_as_json(checked.findings),
        "not_seen": [{"student": name, "last": seen} for name, seen in checked.not_seen],
        "typed_and_not_kept": len(checked.typed),
        "outdated": [{"sheet": code, "reason": reason} for code, reason in checked.outdated],
        "renamed_slips": [
            {"was": old, "now": new, "answers": number} for old, new, number in checked.renamed_slips
        ],
    }


def tell_way_back(before: Path) -> None:
    """Say where the book is kept as it was before a command, and how it is brought back."""
    typer.echo(f"The book as it was: {before}")
    typer.echo(f"To bring it back: coachbook restore {shlex.quote(before.name)}")


def tell_erasing(name: str, facts: int | None) -> None:
    """Say what an erasure takes; `facts` are how many rows, None if there is no such student.

    Raises CoachbookError if nobody can be asked.
    """
    from coachbook.wording.care_words import CANNOT_BE_TAKEN_BACK, to_be_erased

    check_can_agree("Erasing")
    typer.echo(to_be_erased(name, facts))
    typer.echo(CANNOT_BE_TAKEN_BACK)


def tell_out_of_reach() -> None:
    """Say what an erasure cannot reach, and what comes first."""
    from coachbook.wording.care_words import CANNOT_REACH, RULES_COME_FIRST, out_of_reach

    typer.echo(CANNOT_REACH)
    *things, last = out_of_reach("such as those made with 'coachbook backup --to FILE'")
    for thing in things:
        typer.echo(f"  {thing};")
    typer.echo(f"  {last}.")
    typer.echo(RULES_COME_FIRST)


def ask_for_name(name: str) -> None:
    """Ask the coach to type the name that is to be erased.

    Raises InterruptedEntryError if something else is typed.
    """
    try:
        typed = input("\nType the name to erase: ")
    except (KeyboardInterrupt, EOFError) as error:
        typer.echo()
        raise InterruptedEntryError("Stopped.", NOTHING_ERASED) from error
    except UnicodeDecodeError as error:
        raise InterruptedEntryError("What was typed is not UTF-8 text.", NOTHING_ERASED) from error
    if typed.strip() != name:
        raise InterruptedEntryError(f"'{typed}' is not the name '{name}'.", NOTHING_ERASED)


def tell_damaged(damaged: Sequence[Path], what: str) -> None:
    """Name the files among the backups that coachbook cannot read, after `what` is to be done."""
    for path in damaged:
        typer.echo(f"{what}: {path}")


def _held(counts: "Counts") -> str:
    from coachbook.wording.care_words import held_in_words

    return held_in_words(counts.students, counts.sheets, counts.answers)


def _tell_typed(checked: "Checked") -> None:
    from coachbook.cli.talking import told_waiting

    if checked.typed:
        typer.echo(told_waiting(checked.typed))


def _tell_outdated(checked: "Checked") -> None:
    if checked.outdated:
        typer.echo("Sheets with faults, made by an earlier coachbook; make new ones instead:")
    for code, reason in checked.outdated:
        typer.echo(f"  {code}: {reason}")


def _remind(checked: "Checked", months: int) -> None:
    from coachbook.wording.counting import counted, shown_day

    unseen = [(name, seen) for name, seen in checked.not_seen if isinstance(seen, date)]
    never = [name for name, seen in checked.not_seen if seen is None]
    if unseen:
        typer.echo(f"Not seen for more than {counted(months, 'month')}:")
        for name, seen in unseen:
            typer.echo(f"  {name} (last on {shown_day(seen)})")
        typer.echo(
            "Your club's rules decide how long to keep data: 'coachbook student erase NAME' erases it."
        )
    if never:
        typer.echo(f"Nothing is logged for {', '.join(never)}.")

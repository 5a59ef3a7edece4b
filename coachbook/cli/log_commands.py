"""`coachbook log`: what happened on an evening, and taking it back."""

from collections.abc import Mapping
from dataclasses import asdict
from datetime import UTC, date, datetime
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from coachbook.cli.asking import (
    PreviewOption,
    SureOption,
    YesOption,
    agrees,
    check_doubt,
    check_preview_of_table,
    tell_how_to_take_back,
    tell_kept,
)
from coachbook.cli.completing import sheets_known
from coachbook.cli.console import can_ask, print_json, show_table, stop_if_any
from coachbook.cli.options import (
    BookOption,
    DateOption,
    GroupOption,
    JsonOption,
    StudentOption,
    SyllabusOption,
    TableOption,
    TicksOption,
    noun,
    past_day,
    read_number,
    today,
)
from coachbook.cli.play_commands import attendance, note, playout
from coachbook.errors import InterruptedEntryError
from coachbook.model.conversation import Say
from coachbook.wording.counting import counted, shown_day, shown_time

if TYPE_CHECKING:
    from coachbook.club.book import Book
    from coachbook.model.facts import ItemResult, LogEntry
    from coachbook.workflows.evening_log import ListedEntry, TakenBack


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
    """Take an entry of the log back, and say what it was. It asks if that is of several students, or a plan.

    What it replaced holds again. For thirty days it can be brought back.
    """
    from coachbook.wording.people import entry_in_words
    from coachbook.workflows.evening_log import undo as take_back
    from coachbook.workflows.evening_log import what_undo_changes
    from coachbook.workflows.members import open_club
    from coachbook.workflows.standings import load_syllabus

    opened, read, now = open_club(book), load_syllabus(syllabus), datetime.now(UTC)
    if not yes and can_ask():
        found = what_undo_changes(opened, now, entry)
        if found.is_of_several and not _agrees_to_undo(found, read.titles):
            return
        # What the coach has agreed to, though something else may have been logged meanwhile.
        entry = found.entry.id
    taken = take_back(opened, now, entry)
    typer.echo(f"Taken back: {entry_in_words(taken.entry.what)} (logged on {local_time(taken.entry)}).")
    _show_changes(taken, read.titles)
    typer.echo(f"To bring it back: coachbook log redo {taken.entry.id}")


def redo(entry: EntryArgument = None, book: BookOption = None, syllabus: SyllabusOption = None) -> None:
    """Bring back an entry that was taken back. It stands where it stood: what was logged later
    still holds."""
    from coachbook.wording.people import entry_in_words
    from coachbook.workflows.evening_log import redo as bring_back
    from coachbook.workflows.members import open_club
    from coachbook.workflows.standings import load_syllabus

    read = load_syllabus(syllabus)
    brought = bring_back(open_club(book), entry)
    typer.echo(f"Brought back: {entry_in_words(brought.entry.what)} (logged on {local_time(brought.entry)}).")
    _show_changes(brought, read.titles)
    tell_how_to_take_back(brought.entry)


def _agrees_to_undo(found: "TakenBack", titles: Mapping[str, str]) -> bool:
    from coachbook.wording.people import entry_in_words

    contents = found.contents
    evenings = f", evening of {' and '.join(map(shown_day, contents.evenings))}" if contents.evenings else ""
    typer.echo(f"This takes back entry {found.entry.id}, logged on {local_time(found.entry)}:")
    typer.echo(f"  {entry_in_words(found.entry.what)}{evenings}")
    if contents.students:
        typer.echo(f"  {', '.join(contents.students)}")
    _show_changes(found, titles)
    return agrees(Say.TAKE_BACK, "Nothing was taken back.")


def _show_changes(taken: "TakenBack", titles: Mapping[str, str]) -> None:
    from coachbook.wording.plans import NO_EVENING_CHANGES, difference_in_words

    several = len(taken.contents.groups) > 1
    for group, change in taken.changes:
        words = difference_in_words(change, titles)
        typer.echo(f"  {group}: {words}" if several else f"  {words}")
    if taken.contents.groups and not taken.changes:
        typer.echo(f"  {NO_EVENING_CHANGES}")


def local_time(entry: "LogEntry | ListedEntry") -> str:
    """When an entry was logged, by the clock where the coach is."""
    return shown_time(entry.logged_at.astimezone())


app = noun(
    "Log an evening: who was there, what they did.",
    "answers attendance playout note list undo redo export",
)
for each in (attendance, playout, note, undo, redo):
    app.command()(each)


@app.command("answers")
def answers(
    sheet: Annotated[
        str | None,
        typer.Argument(
            metavar="[CODE]", help="A sheet's code, if not the newest ones.", autocompletion=sheets_known
        ),
    ] = None,
    ticks: TicksOption = False,
    table: TableOption = None,
    preview: PreviewOption = False,
    group: GroupOption = None,
    on: DateOption = None,
    sure: SureOption = False,
    book: BookOption = None,
) -> None:
    """Mark and log answers, typed in or from a table.

    A table has the columns student, item and answer, perhaps sheet and date. With --preview everything in
    it is marked and shown. Without --date a sheet belongs to the evening for which it was made.
    """
    from coachbook.workflows.log_from_tables import answers_from_table
    from coachbook.workflows.members import open_club

    check_preview_of_table(table, preview=preview)
    opened = open_club(book)
    if table is None:
        _type_answers(opened, sheet, group, on, ticks=ticks, sure=sure)
        return
    logged = answers_from_table(
        opened, table, sheet, on, today(None), datetime.now(UTC), preview=preview, sure=sure
    )
    stop_if_any(logged.problems)
    if preview:
        _show_marks(logged.results)
    _show_tally(logged.results)
    for line in (*logged.unreadable, *logged.changed):
        typer.echo(line)
    tell_kept(logged.entry)


@app.command("list")
def list_(
    count: Annotated[
        int, typer.Option("--last", parser=read_number, metavar="N", help="How many entries.")
    ] = 20,
    book: BookOption = None,
    as_json: JsonOption = False,
) -> None:
    """List the last entries of the log, the newest first."""
    from coachbook.wording.people import entry_in_words
    from coachbook.workflows.evening_log import list_log
    from coachbook.workflows.members import open_club

    entries = list_log(open_club(book), count)
    if as_json:
        print_json([{**asdict(each), "what": entry_in_words(each.what)} for each in entries])
    elif entries:
        show_table(
            ("Entry", "Logged", "Group", "What"),
            [(str(each.id), local_time(each), each.group, entry_in_words(each.what)) for each in entries],
        )
    else:
        typer.echo("Nothing is logged yet.")


@app.command("export")
def export(
    to: Annotated[Path, typer.Option("--to", metavar="FILE", help="The table to write (CSV).")],
    group: GroupOption = None,
    student: StudentOption = None,
    since: Annotated[
        date | None, typer.Option("--from", parser=past_day, metavar="DATE", help="The first day.")
    ] = None,
    until: Annotated[
        date | None, typer.Option("--until", parser=past_day, metavar="DATE", help="The last day.")
    ] = None,
    book: BookOption = None,
) -> None:
    """Write answers as a table. It is for a spreadsheet, or to log them in another book."""
    from coachbook.workflows.evening_log import write_answers
    from coachbook.workflows.members import open_club

    count = write_answers(open_club(book), to, group=group, student=student, since=since, until=until)
    typer.echo(f"Written: {to} ({counted(count, 'answer')})")


def _type_answers(
    book: "Book", code: str | None, group: str | None, on: date | None, *, ticks: bool, sure: bool
) -> None:
    from coachbook.cli.talking import doing, taken_up, talk
    from coachbook.workflows.answers_conversation import Answers
    from coachbook.workflows.care import before_typing
    from coachbook.workflows.evening_to_log import sheets_to_log
    from coachbook.workflows.typed_answers import answers_aside, doubt_of_sheets, sheets_to_type, with_drafts

    steps = sheets_to_type(book, sheets_to_log(book, code, today(on), group), on, today(None))
    lines = taken_up(book, answers_aside(book, {step.key for step in steps}))
    steps = with_drafts(steps, lines, book.letters, dated=on is not None)
    check_doubt(doubt_of_sheets(book, steps, today(None)), sure=sure)
    before_typing(book, datetime.now(UTC))
    typed = talk(Answers(steps=steps, letters=book.letters, ticks=ticks), doing(book))
    if typed.is_stopped:
        raise InterruptedEntryError("Stopped.", "To type the rest, log answers again.")


def _show_marks(results: "tuple[ItemResult, ...]") -> None:
    show_table(
        ("Student", "Sheet", "Item", "Date", "Written", "Mark"),
        [
            (each.student, each.sheet, str(each.item), shown_day(each.on), each.written, _mark(each))
            for each in results
        ],
    )
    typer.echo()


def _mark(result: "ItemResult") -> str:
    from coachbook.wording.people import slip_in_words

    return "right" if result.right else slip_in_words(result.slip) or "wrong"


def _show_tally(results: "tuple[ItemResult, ...]") -> None:
    from coachbook.workflows.evening_log import tally

    show_table(
        ("Student", "Right", "Slips"),
        [(each.student, f"{each.right} of {each.tried}", each.slips) for each in tally(results)],
    )
    typer.echo()

"""`coachbook log`: what happened on an evening, and taking it back."""

from collections.abc import Mapping, Sequence
from dataclasses import asdict
from datetime import UTC, date, datetime
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from coachbook.cli.asking import (
    SureOption,
    YesOption,
    agrees,
    can_ask,
    check_doubt,
    settled_day,
    tell_how_to_take_back,
)
from coachbook.cli.console import print_json, show_table, stop_if_any
from coachbook.cli.options import (
    BookOption,
    DateOption,
    GroupOption,
    JsonOption,
    StudentOption,
    SyllabusOption,
    noun,
    read_number,
    today,
)
from coachbook.errors import CoachbookError, InterruptedEntryError
from coachbook.model.reading import read_date

if TYPE_CHECKING:
    from coachbook.club.book import Book
    from coachbook.model.facts import ItemResult, LogEntry
    from coachbook.workflows.evening_log import ListedEntry
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
    from coachbook.wording.log import entry_in_words
    from coachbook.workflows.members import open_club
    from coachbook.workflows.standings import load_syllabus
    from coachbook.workflows.undo import undo as take_back
    from coachbook.workflows.undo import what_undo_changes

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
    """Bring back an entry that was taken back, where it stood: what was logged later still holds."""
    from coachbook.wording.log import entry_in_words
    from coachbook.workflows.members import open_club
    from coachbook.workflows.standings import load_syllabus
    from coachbook.workflows.undo import redo as bring_back

    read = load_syllabus(syllabus)
    brought = bring_back(open_club(book), entry)
    typer.echo(f"Brought back: {entry_in_words(brought.entry.what)} (logged on {local_time(brought.entry)}).")
    _show_changes(brought, read.titles)
    tell_how_to_take_back(brought.entry)


def _agrees_to_undo(found: "TakenBack", titles: Mapping[str, str]) -> bool:
    from coachbook.wording.log import entry_in_words

    contents = found.contents
    evenings = f", evening of {' and '.join(map(str, contents.evenings))}" if contents.evenings else ""
    typer.echo(f"This takes back entry {found.entry.id}, logged on {local_time(found.entry)}:")
    typer.echo(f"  {entry_in_words(found.entry.what)}{evenings}")
    if contents.students:
        typer.echo(f"  {', '.join(contents.students)}")
    _show_changes(found, titles)
    return agrees("Take it back?", "Nothing was taken back.")


def _show_changes(taken: "TakenBack", titles: Mapping[str, str]) -> None:
    from coachbook.wording.plans import difference_in_words

    several = len(taken.contents.groups) > 1
    for group, change in taken.changes:
        words = difference_in_words(change, titles)
        typer.echo(f"  {group}: {words}" if several else f"  {words}")
    if taken.contents.groups and not taken.changes:
        typer.echo("  No evening changes: a later plan holds.")


def local_time(entry: "LogEntry | ListedEntry") -> str:
    """When an entry was logged, by the clock where the coach is."""
    return f"{entry.logged_at.astimezone():%Y-%m-%d at %H:%M}"


app = noun("Log an evening: who was there, and what they answered and played.")
app.command()(undo)
app.command()(redo)


@app.command("answers")
def answers(
    sheet: Annotated[
        str | None, typer.Argument(metavar="SHEET", help="A sheet's code, if not the newest ones.")
    ] = None,
    ticks: Annotated[
        bool, typer.Option("--ticks", help="Type only 1 (right), 0 (wrong) or - (left blank) for each item.")
    ] = False,
    csv: Annotated[
        Path | None,
        typer.Option("--csv", metavar="FILE", help="A table: student, item, answer; perhaps sheet and date."),
    ] = None,
    preview: Annotated[
        bool, typer.Option("--preview", help="With --csv: mark everything, show it, and keep nothing.")
    ] = False,
    group: GroupOption = None,
    on: DateOption = None,
    sure: SureOption = False,
    book: BookOption = None,
) -> None:
    """Mark and log answers, typed in student by student or from a table.

    Without --date a sheet belongs to the evening for which it was made.
    """
    from coachbook.workflows.log_from_tables import answers_from_table
    from coachbook.workflows.members import open_club

    opened = open_club(book)
    if csv is None:
        _type_answers(opened, sheet, group, on, ticks=ticks, sure=sure)
        return
    logged = answers_from_table(
        opened, csv, sheet, on, today(None), datetime.now(UTC), preview=preview, sure=sure
    )
    stop_if_any(logged.problems)
    if preview:
        _show_marks(logged.results)
    _show_tally(logged.results)
    for line in (*logged.unreadable, *logged.changed):
        typer.echo(line)
    _tell_kept(logged.entry)


@app.command("attendance")
def attendance(
    present: Annotated[
        list[str] | None, typer.Argument(metavar="[NAME]...", help="Those who were there.")
    ] = None,
    csv: Annotated[
        Path | None,
        typer.Option("--csv", metavar="FILE", help="A table: date, student, present (yes or no)."),
    ] = None,
    came: Annotated[
        list[str] | None,
        typer.Option("--present", metavar="NAME", help="Put right: was there after all. May be given again."),
    ] = None,
    missing: Annotated[
        list[str] | None,
        typer.Option("--absent", metavar="NAME", help="Put right: was not there. May be given again."),
    ] = None,
    group: GroupOption = None,
    on: DateOption = None,
    sure: SureOption = False,
    book: BookOption = None,
) -> None:
    """Log who was there: named here, typed in, or from a table.

    Who of the group is not named was absent. To put one student right afterwards, and leave all others
    as they are, give --present or --absent.
    """
    from coachbook.workflows.evening_to_log import class_list, doubt_of_groups, who_was_there
    from coachbook.workflows.log_from_tables import attendance_from_table
    from coachbook.workflows.members import open_club

    if (came or missing) and (present or csv is not None):
        raise CoachbookError(
            "Log a whole evening or put some students right, not both.", "Give --present and --absent alone."
        )
    opened = open_club(book)
    if came or missing:
        _put_right(opened, group, came or [], missing or [], today(on))
        return
    if csv is not None:
        logged = attendance_from_table(opened, csv, today(None), datetime.now(UTC), sure=sure)
        stop_if_any(logged.problems)
        _tell_kept(logged.entry)
        return
    name, students = class_list(opened, group)
    told = who_was_there(opened, group, present) if present else {}
    doubt = doubt_of_groups(opened, today(on), today(None), [name])
    day = settled_day(on, doubt, sure=sure)
    if present:
        absent = _asked_about(opened, [student for student, here in told.items() if not here], day)
        _keep_attendance(opened, {student: student not in absent for student in told}, day)
    else:
        _type_attendance(opened, name, students, day)


@app.command("list")
def list_(
    count: Annotated[
        int, typer.Option("--last", parser=read_number, metavar="N", help="How many entries.")
    ] = 20,
    book: BookOption = None,
    as_json: JsonOption = False,
) -> None:
    """List the last entries of the log, the newest first."""
    from coachbook.wording.log import entry_in_words
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
    file: Annotated[Path, typer.Argument(metavar="FILE.csv", help="The table to write.")],
    group: GroupOption = None,
    student: StudentOption = None,
    since: Annotated[
        date | None, typer.Option("--from", parser=read_date, metavar="DATE", help="The first evening.")
    ] = None,
    until: Annotated[
        date | None, typer.Option("--to", parser=read_date, metavar="DATE", help="The last evening.")
    ] = None,
    book: BookOption = None,
) -> None:
    """Write answers as a table, for a spreadsheet or to log them in another book."""
    from coachbook.workflows.evening_log import write_answers
    from coachbook.workflows.members import open_club

    count = write_answers(open_club(book), file, group=group, student=student, since=since, until=until)
    typer.echo(f"Written: {file} ({count} {'answer' if count == 1 else 'answers'})")


def _type_answers(
    book: "Book", code: str | None, group: str | None, on: date | None, *, ticks: bool, sure: bool
) -> None:
    from coachbook.cli.answers_entry import type_answers
    from coachbook.cli.entry import safe, taken_up
    from coachbook.workflows.care import before_typing
    from coachbook.workflows.evening_log import keep_answers
    from coachbook.workflows.evening_to_log import sheets_to_log
    from coachbook.workflows.typed_sheets import (
        answers_aside,
        doubt_of_sheets,
        forget,
        sheets_to_type,
        with_drafts,
    )

    steps = sheets_to_type(book, sheets_to_log(book, code, today(on), group), on, today(None))
    lines = taken_up(book, answers_aside(book, {step.key for step in steps}))
    steps = with_drafts(steps, lines, book.letters, dated=on is not None)
    check_doubt(doubt_of_sheets(book, steps, today(None)), sure=sure)
    before_typing(book, datetime.now(UTC))
    typed = type_answers(book, steps, ticks=ticks)
    if typed.results:
        with safe():
            _tell_kept(keep_answers(book, typed.results, datetime.now(UTC)))
        forget(book, typed.drafts)
    if typed.is_stopped:
        raise InterruptedEntryError("Stopped.", "To type the rest, log answers again.")


def _type_attendance(book: "Book", group: str, students: Sequence[str], on: date) -> None:
    from coachbook.cli.entry import safe, type_who_was_absent
    from coachbook.workflows.typed_sheets import forget

    told, line = type_who_was_absent(book, group, students, on)
    with safe():
        _keep_attendance(book, told, on)
    forget(book, [line])


def _keep_attendance(book: "Book", told: "dict[str, bool]", on: date) -> None:
    """Keep a whole evening, and say of whom something else was logged before."""
    from coachbook.workflows.evening_log import find_changed, keep_attendance

    changed = find_changed(book, told, on)
    _tell_kept(keep_attendance(book, told, on, datetime.now(UTC)) if told else None)
    if changed:
        now = ", ".join(f"{name} ({_presence(here=told[name])})" for name in changed)
        typer.echo(f"Changed by this list: {now}. To take it back: coachbook log undo")


def _put_right(book: "Book", group: str | None, came: list[str], missing: list[str], on: date) -> None:
    from coachbook.cli.entry import listed
    from coachbook.workflows.evening_log import put_right

    now = put_right(book, group, came, _asked_about(book, missing, on), on, datetime.now(UTC))
    _tell_kept(now.entry)
    typer.echo(f"There on {on}: {listed(now.there)}. Absent: {listed(now.away)}.")
    if now.entry is not None:
        typer.echo("All others are as they were. To take it back: coachbook log undo")


def _asked_about(book: "Book", absent: list[str], on: date) -> list[str]:
    """Those who are to count as absent; at a terminal the coach is asked about who has answers."""
    from coachbook.cli.entry import still_absent
    from coachbook.workflows.evening_log import answers_that_evening

    if not can_ask():
        return absent
    return list(still_absent(answers_that_evening(book, absent, on)))


def _presence(*, here: bool) -> str:
    return "there" if here else "absent"


def _tell_kept(entry: "LogEntry | None") -> None:
    from coachbook.wording.log import entry_in_words

    typer.echo(f"Kept: {entry_in_words(entry.what)}." if entry else "Nothing was kept.")


def _show_marks(results: "tuple[ItemResult, ...]") -> None:
    show_table(
        ("Student", "Sheet", "Item", "Date", "Written", "Mark"),
        [
            (each.student, each.sheet, str(each.item), str(each.on), each.written, _mark(each))
            for each in results
        ],
    )
    typer.echo()


def _mark(result: "ItemResult") -> str:
    from coachbook.wording.slips import slip_in_words

    return "right" if result.right else slip_in_words(result.slip) or "wrong"


def _show_tally(results: "tuple[ItemResult, ...]") -> None:
    from coachbook.workflows.evening_log import tally

    show_table(
        ("Student", "Right", "Slips"),
        [(each.student, f"{each.right} of {each.tried}", each.slips) for each in tally(results)],
    )
    typer.echo()

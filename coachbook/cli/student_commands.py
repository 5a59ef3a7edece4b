"""`coachbook student`: who is in the club, and one student with all evidence."""

import shlex
from datetime import UTC, datetime
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from coachbook.cli.asking import (
    RENAMING,
    PreviewOption,
    WhenRenaming,
    ask_about,
    exact_replaced,
    tell_left,
)
from coachbook.cli.care_commands import (
    tell_damaged,
    tell_way_back,
)
from coachbook.cli.completing import students_known
from coachbook.cli.console import can_ask, print_json, show_table, stop_if_any
from coachbook.cli.hints import tell_next, tell_next_of_groups
from coachbook.cli.leaving import erase, remove, told_elsewhere
from coachbook.cli.options import (
    BookOption,
    DateOption,
    FolderOption,
    GroupOption,
    GroupsOption,
    JsonOption,
    NameArgument,
    PaperOption,
    SyllabusOption,
    UnitArgument,
    noun,
    paper_options,
    today,
)
from coachbook.wording.counting import counted, shown_day

if TYPE_CHECKING:
    from coachbook.club.free_text import Wording
    from coachbook.model.printed import StudentRecord
    from coachbook.model.progress import UnitProgress
    from coachbook.workflows.members import Imported


app = noun("The students of the club.", "add list show why import rename export remove erase")
app.command()(remove)
app.command()(erase)


@app.command("add")
def add(
    name: Annotated[str, typer.Argument(metavar="NAME", help="The name to call the student by.")],
    group: GroupsOption = None,
    book: BookOption = None,
) -> None:
    """Add a student."""
    from coachbook.workflows.members import add_member, open_club

    opened = open_club(book)
    student = add_member(opened, name, group or [])
    typer.echo(f"Added: {student.name} ({', '.join(student.groups) or 'in no group'})")
    _tell_unprintable([student.name])
    if student.groups:
        tell_next_of_groups(opened, student.groups, today(None), book)
    else:
        tell_next("group", "add", "GROUP", book=book)


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
    preview: PreviewOption = False,
    book: BookOption = None,
) -> None:
    """Add the students of a table, all of them or none. Missing groups are made, and listed."""
    from coachbook.workflows.members import groups_of, import_students, open_club, preview_import, students_of

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
    if taught := [group.name for group in groups_of(opened) if group.size]:
        tell_next_of_groups(opened, taught, today(None), book)


@app.command("rename")
def rename(
    old: Annotated[str, typer.Argument(metavar="OLD", help="The name now.", autocompletion=students_known)],
    new: Annotated[str, typer.Argument(metavar="NEW", help="The new name.")],
    mentions: Annotated[
        WhenRenaming | None,
        typer.Option(
            "--mentions",
            help="Do not ask about notes and other texts: rename the whole name in them, or keep it.",
        ),
    ] = None,
    book: BookOption = None,
) -> None:
    """Give a student another name. It changes in the book's own backups, too. You are asked
    about notes and other texts."""
    from coachbook.workflows.care import check_no_draft, mentions_of, names_to_change, rename_member
    from coachbook.workflows.members import open_club

    opened = open_club(book)
    check_no_draft(opened)
    known, name = names_to_change(opened, old, new)
    found = mentions_of(opened, known, name)
    wording: Wording = {}
    if mentions is WhenRenaming.RENAME:
        wording = exact_replaced(found, name)
    elif found and mentions is None and can_ask():
        wording = ask_about(found, known, name, RENAMING, "Nothing was renamed.")
    done = rename_member(opened, known, name, wording)
    typer.echo(f"Renamed: {done.student} is {name}{told_elsewhere(done)}.")
    typer.echo(f"To take it back: coachbook student rename {shlex.quote(name)} {shlex.quote(done.student)}")
    tell_damaged(done.damaged, "coachbook cannot read this file; delete it if it may hold the old name")
    if done.left:
        tell_left(done.left, known)
        typer.echo("To mend a note, take it back with 'coachbook log undo ENTRY' and log it again.")


def _tell_new_groups(done: "Imported") -> None:
    """A group that is new because its name was misspelt is easily overlooked."""
    for group in done.new_groups:
        typer.echo(f"New group: {group.name} ({counted(group.size, 'student')})")
        if group.like:
            typer.echo(
                f"  There is already a group {group.like}. If you mean that one: coachbook group put"
                f" {shlex.quote(group.like)} NAME..., then coachbook group remove {shlex.quote(group.name)}"
            )


def _tell_unprintable(names: list[str]) -> None:
    """On paper such a name would be no name."""
    from coachbook.workflows.members import cannot_be_printed

    for name in cannot_be_printed(names):
        typer.echo(
            f"'{name}' cannot be printed: coachbook's fonts lack its letters. For paper, use a name"
            f" in other letters: coachbook student rename {shlex.quote(name)} NAME"
        )


_MOST_ABSENCES = 4


@app.command()
def show(
    name: NameArgument,
    on: DateOption = None,
    book: BookOption = None,
    syllabus: SyllabusOption = None,
    as_json: JsonOption = False,
) -> None:
    """Show where a student stands in each unit, and the evidence."""
    from coachbook.workflows.members import open_club
    from coachbook.workflows.standings import load_syllabus
    from coachbook.workflows.student_records import progress_as_data, record_of

    record = record_of(open_club(book), load_syllabus(syllabus), name, today(on))
    if as_json:
        print_json([progress_as_data(each) for each in record.progress])
        return
    groups = ", ".join(record.groups) or "in no group"
    typer.echo(f"{record.student} ({groups}), {shown_day(record.on)}: {_attendance(record)}")
    typer.echo()
    begun = [each for each in record.progress if each.evenings]
    if begun:
        _show_units(record, begun)
    else:
        typer.echo("Nothing else is logged yet." if record.attendance else "Nothing is logged yet.")
    _show_notes(record)


@app.command()
def why(
    name: NameArgument,
    unit: UnitArgument,
    on: DateOption = None,
    book: BookOption = None,
    syllabus: SyllabusOption = None,
    as_json: JsonOption = False,
) -> None:
    """Say why a unit is due, or not yet. One paragraph that you can read to a parent."""
    from coachbook.wording.why_due import why_in_words
    from coachbook.workflows.members import open_club
    from coachbook.workflows.standings import load_syllabus
    from coachbook.workflows.student_records import why_as_data, why_of

    found = why_of(open_club(book), load_syllabus(syllabus), name, unit, today(on))
    if as_json:
        print_json(why_as_data(found))
    else:
        typer.echo(why_in_words(found))


@app.command()
def export(
    name: NameArgument,
    to: FolderOption = None,
    on: DateOption = None,
    paper: PaperOption = None,
    book: BookOption = None,
    syllabus: SyllabusOption = None,
) -> None:
    """Write what the book holds under a student's name. It is written as JSON, and as a PDF to read."""
    from coachbook.wording.care_words import WHAT_A_RECORD_IS
    from coachbook.workflows.members import open_club
    from coachbook.workflows.standings import load_syllabus
    from coachbook.workflows.student_records import export_record

    opened, read = open_club(book), load_syllabus(syllabus)
    options, folder = paper_options(opened.settings, paper), to or opened.settings.papers
    for path in export_record(opened, read, name, today(on), folder, options):
        typer.echo(f"Written: {path}")
    typer.echo(WHAT_A_RECORD_IS)


def _show_units(record: "StudentRecord", begun: "list[UnitProgress]") -> None:
    from coachbook.wording.people import evening_in_words, missing_in_words

    titles = dict(record.unit_titles)
    rows = [
        (
            each.standing,
            titles[each.unit],
            shown_day(each.due_on) if each.due_on else "",
            _sure(each),
            "; ".join(evening_in_words(evening) for evening in each.evenings[-4:]),
        )
        for each in begun
    ]
    show_table(("Standing", "Unit", "Review due", "Sure", "Evidence"), rows)
    missing = [each for each in begun if each.missing]
    if missing:
        typer.echo()
    for each in missing:
        typer.echo(f"Missing in {titles[each.unit]}: {'; '.join(map(missing_in_words, each.missing))}.")
    for paragraph in record.why_due:
        typer.echo(paragraph)


def _show_notes(record: "StudentRecord") -> None:
    """Those on evenings as such; those in units stand with their evidence."""
    for seen in record.observations:
        if not seen.unit:
            typer.echo(f"Noted on {shown_day(seen.on)}: {seen.note}")


def _attendance(record: "StudentRecord") -> str:
    there = [mark.on for mark in record.attendance if mark.present]
    absent = [shown_day(mark.on) for mark in record.attendance if not mark.present]
    if absent and not there:
        return f"absent on {', '.join(absent[-_MOST_ABSENCES:])}"
    return f"there on {counted(len(there), 'evening')}"


def _sure(progress: "UnitProgress") -> str:
    return "yes" if progress.is_sure else "little evidence"

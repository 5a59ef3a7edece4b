"""`coachbook student show` and `student export`: one student, with all evidence."""

from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from coachbook.cli.care import counted
from coachbook.cli.console import show_table
from coachbook.cli.options import BookOption, DateOption, JsonOption, PaperOption, SyllabusOption, today
from coachbook.cli.reports import print_json
from coachbook.paper.options import PaperOptions, PaperSize

if TYPE_CHECKING:
    from coachbook.model.progress import Evening, UnitProgress
    from coachbook.model.reports import StudentRecord

_MOST_ABSENCES = 4

_WHAT_IT_IS = """\
This is what coachbook holds under this name, with notes on others that may mention it. Printed
pages, exported files and copies elsewhere are not in it; coachbook's own backups hold earlier
states of the same. Names of other students in the book are left out, but read it through before
you hand it out as your club's safeguarding rules and the law ask you to."""

_NameArgument = Annotated[str, typer.Argument(metavar="NAME", help="The student's name.")]


def show(
    name: _NameArgument,
    on: DateOption = None,
    book: BookOption = None,
    syllabus: SyllabusOption = None,
    as_json: JsonOption = False,
) -> None:
    """Show where a student stands in each unit, and the evidence."""
    from coachbook.workflows.members import open_club
    from coachbook.workflows.record import record_of
    from coachbook.workflows.teaching import load_syllabus

    record = record_of(open_club(book), load_syllabus(syllabus), name, today(on))
    if as_json:
        print_json(record.progress)
        return
    groups = ", ".join(record.groups) or "in no group"
    typer.echo(f"{record.student} ({groups}), {record.on}: {_attendance(record)}")
    typer.echo()
    begun = [each for each in record.progress if each.evenings]
    if begun:
        _show_units(record, begun)
    else:
        typer.echo("Nothing else is logged yet." if record.attendance else "Nothing is logged yet.")


def export(
    name: _NameArgument,
    to: Annotated[Path, typer.Option("--to", metavar="FOLDER", help="Where to put the files.")] = Path(),
    on: DateOption = None,
    paper: PaperOption = PaperSize.A4,
    book: BookOption = None,
    syllabus: SyllabusOption = None,
) -> None:
    """Write what the book holds under a student's name: as JSON, and as a PDF to read."""
    from coachbook.workflows.members import open_club
    from coachbook.workflows.record_export import export_record
    from coachbook.workflows.teaching import load_syllabus

    opened, read = open_club(book), load_syllabus(syllabus)
    for path in export_record(opened, read, name, today(on), to, PaperOptions(paper)):
        typer.echo(f"Written: {path}")
    typer.echo(_WHAT_IT_IS)


def _show_units(record: "StudentRecord", begun: "list[UnitProgress]") -> None:
    titles = dict(record.unit_titles)
    rows = [
        (
            each.standing,
            titles[each.unit],
            str(each.due_on or ""),
            _sure(each),
            "; ".join(_told(evening) for evening in each.evenings[-4:]),
        )
        for each in begun
    ]
    show_table(("Standing", "Unit", "Review due", "Sure", "Evidence"), rows)
    missing = [each for each in begun if each.missing]
    if missing:
        typer.echo()
    for each in missing:
        typer.echo(f"Missing in {titles[each.unit]}: {'; '.join(each.missing)}.")


def _attendance(record: "StudentRecord") -> str:
    there = [mark.on for mark in record.attendance if mark.present]
    absent = [str(mark.on) for mark in record.attendance if not mark.present]
    if absent and not there:
        return f"absent on {', '.join(absent[-_MOST_ABSENCES:])}"
    return f"there on {counted(len(there), 'evening')}"


def _sure(progress: "UnitProgress") -> str:
    return "yes" if progress.is_sure else "little evidence"


def _told(evening: "Evening") -> str:
    """Such as "2026-09-10: 5 of 6, play-out mate in 14 moves (16 allowed)"."""
    told = [f"{evening.right} of {evening.tried}"] if evening.tried else []
    told += [f"play-out {result.in_words}" for result in evening.play_outs]
    for seen in evening.observations:
        told.append(f"seen: {seen.note}{f' ({seen.impression})' if seen.impression else ''}")
    return f"{evening.on}: {', '.join(told)}"

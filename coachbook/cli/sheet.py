"""`coachbook sheet`: worksheets and their keys."""

from pathlib import Path
from secrets import randbelow
from typing import TYPE_CHECKING, Annotated

import typer

from coachbook.cli.console import progress_bar, show_table
from coachbook.cli.options import (
    BookOption,
    DateOption,
    FolderOption,
    GroupOption,
    JsonOption,
    NotationOption,
    PaperOption,
    StudentOption,
    SyllabusOption,
    noun,
    read_number,
    today,
)
from coachbook.cli.reports import print_json
from coachbook.paper.options import Notation, PaperOptions, PaperSize

if TYPE_CHECKING:
    from coachbook.workflows.sheets import PrintedSheets

app = noun("Worksheets and their answer keys.")

_HERE = Path()
_SEEDS = 1_000_000


@app.command("make")
def make(
    unit: Annotated[str, typer.Option("--unit", metavar="UNIT", help="A unit's code, such as queen-box.")],
    group: GroupOption = None,
    student: StudentOption = None,
    seed: Annotated[
        int | None,
        typer.Option("--seed", parser=read_number, metavar="N", help="Choose the same positions again."),
    ] = None,
    items: Annotated[
        int, typer.Option("--items", parser=read_number, metavar="N", help="How many exercises.")
    ] = 6,
    each: Annotated[bool, typer.Option("--each", help="A sheet of their own for each student.")] = False,
    to: FolderOption = _HERE,
    paper: PaperOption = PaperSize.A4,
    notation: NotationOption = Notation.FIGURINE,
    on: DateOption = None,
    book: BookOption = None,
    syllabus: SyllabusOption = None,
) -> None:
    """Make fresh worksheets and their key, for a group or a student."""
    from coachbook.workflows.members import open_club
    from coachbook.workflows.sheets import SheetRequest, make_sheets, students_asked_for
    from coachbook.workflows.teaching import load_syllabus

    read, opened = load_syllabus(syllabus), open_club(book)
    request = SheetRequest(
        unit=read.unit(unit),
        students=students_asked_for(opened, group, student),
        items=items,
        seed=randbelow(_SEEDS) if seed is None else seed,
        made_on=today(on),
        personal=each,
    )
    with progress_bar() as progress:
        printed = make_sheets(opened, read, request, to, PaperOptions(paper, notation), progress)
    _show(printed)
    typer.echo(f"Seed {request.seed}: with it, the same book gives the same sheets.")


@app.command("print")
def print_(
    code: Annotated[str, typer.Argument(metavar="CODE", help="The code at the foot of the sheet.")],
    to: FolderOption = _HERE,
    paper: PaperOption = PaperSize.A4,
    notation: NotationOption = Notation.FIGURINE,
    book: BookOption = None,
) -> None:
    """Print a sheet and its key again, exactly as they were."""
    from coachbook.workflows.members import open_club
    from coachbook.workflows.sheets import reprint_sheet

    _show(reprint_sheet(open_club(book), code, to, PaperOptions(paper, notation)))


@app.command("list")
def list_(student: StudentOption = None, book: BookOption = None, as_json: JsonOption = False) -> None:
    """List the sheets that were made, the newest last."""
    from coachbook.workflows.members import open_club
    from coachbook.workflows.sheets import list_sheets

    sheets = list_sheets(open_club(book), student)
    if as_json:
        print_json(sheets)
    elif sheets:
        show_table(
            ("Sheet", "Made", "Unit", "Items", "Students"),
            [
                (each.code, str(each.made_on), each.unit, str(each.items), ", ".join(each.students))
                for each in sheets
            ],
        )
    else:
        typer.echo("No sheet was made yet. Make one with 'coachbook sheet make'.")


def _show(printed: "PrintedSheets") -> None:
    show_table(
        ("Sheet", "Items", "Students"),
        [(sheet.code, str(len(sheet.items)), ", ".join(names)) for sheet, names in printed.handed_out],
    )
    typer.echo()
    typer.echo(f"Written: {printed.sheets_pdf}")
    typer.echo(f"         {printed.key_pdf}")

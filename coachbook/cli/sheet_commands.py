"""`coachbook sheet`: worksheets and their keys."""

from secrets import randbelow
from typing import TYPE_CHECKING, Annotated

import typer

from coachbook.cli.completing import kinds_known, sheets_known
from coachbook.cli.console import board_lines, print_json, progress_bar, show_table
from coachbook.cli.hints import tell_next
from coachbook.cli.options import (
    BoardsOption,
    BookOption,
    CodeArgument,
    ComingDateOption,
    FolderOption,
    GroupOption,
    JsonOption,
    LargeOption,
    LettersOption,
    NotationOption,
    PaperOption,
    SeedOption,
    StudentOption,
    SyllabusOption,
    TwoSidesOption,
    TwoUpOption,
    UnitArgument,
    noun,
    paper_options,
    positions_of,
    read_number,
    today,
)
from coachbook.errors import CoachbookError
from coachbook.model.position import Position
from coachbook.model.print_options import PaperOptions
from coachbook.wording.counting import shown_day
from coachbook.wording.paper_words import CUT_IN_HALF

if TYPE_CHECKING:
    from coachbook.model.worksheet import Worksheet
    from coachbook.workflows.printed_sheets import PrintedSheets
    from coachbook.workflows.sheet_shown import ShownItem


app = noun("Worksheets and their answer keys.", "make print list show")

_ITEMS = 6
_SEEDS = 1_000_000
_BOARDS = PaperOptions().boards_a_page


@app.command("make")
def make(
    unit: UnitArgument,
    group: GroupOption = None,
    student: StudentOption = None,
    seed: SeedOption = None,
    items: Annotated[
        int | None,
        typer.Option("--items", parser=read_number, metavar="N", help="How many exercises; 6, if not given."),
    ] = None,
    minutes: Annotated[
        int | None,
        typer.Option(
            "--minutes", parser=read_number, metavar="N", help="As many exercises as fit into N minutes."
        ),
    ] = None,
    each: Annotated[bool, typer.Option("--each", help="A sheet of their own for each student.")] = False,
    forms: Annotated[
        bool, typer.Option("--forms", help="Two forms of equal difficulty, A and B, so that nobody copies.")
    ] = False,
    review: Annotated[
        int | None,
        typer.Option(
            "--review",
            parser=read_number,
            metavar="N",
            help="With --each: at most N exercises that review what is due; 2, if not given.",
        ),
    ] = None,
    own: Annotated[
        str | None,
        typer.Option(
            "--own", metavar="FILE", help="Your own positions come first: FEN, EPD or PGN; - for input."
        ),
    ] = None,
    kind: Annotated[
        str | None,
        typer.Option(
            "--kind",
            metavar="KIND",
            help="What is asked of your own positions.",
            autocompletion=kinds_known,
        ),
    ] = None,
    to: FolderOption = None,
    paper: PaperOption = None,
    boards: BoardsOption = _BOARDS,
    large: LargeOption = False,
    two_sides: TwoSidesOption = False,
    two_up: TwoUpOption = False,
    notation: NotationOption = None,
    letters: LettersOption = None,
    on: ComingDateOption = None,
    book: BookOption = None,
    syllabus: SyllabusOption = None,
) -> None:
    """Make fresh worksheets and their key, for a group or a student."""
    from coachbook.workflows.members import open_club
    from coachbook.workflows.own_positions import own_exercises
    from coachbook.workflows.printed_sheets import make_sheets, students_asked_for
    from coachbook.workflows.sheet_making import SheetRequest, items_in
    from coachbook.workflows.standings import load_syllabus

    read, opened = load_syllabus(syllabus), open_club(book)
    options = paper_options(
        opened.settings, paper, notation, letters, boards, large=large, two_sides=two_sides, two_up=two_up
    )
    if (own is None) != (kind is None):
        raise CoachbookError("Own positions need a kind.", "Give --own and --kind together.")
    if items is not None and minutes is not None:
        raise CoachbookError(
            "Both --items and --minutes say how long the sheet is.", "Give only one of them."
        )
    taught = read.unit(unit)
    with progress_bar() as progress:
        brought = own_exercises(positions_of(own), kind, taught.code, progress) if own and kind else ()
    request = SheetRequest(
        unit=taught,
        own=brought,
        students=students_asked_for(opened, group, student),
        items=items_in(taught, minutes) if minutes is not None else _ITEMS if items is None else items,
        seed=randbelow(_SEEDS) if seed is None else seed,
        made_on=today(on),
        evening=on,
        personal=each,
        forms=forms,
        review=review,
    )
    with progress_bar() as progress:
        printed = make_sheets(opened, read, request, to or opened.settings.papers, options, progress)
    _show(printed, options)
    typer.echo(f"Seed {request.seed}: with it, the same book gives the same sheets.")
    codes = [sheet.code for sheet, _ in printed.handed_out]
    which = ("--group", group) if group and len(codes) > 1 else (codes[0],)
    tell_next("log", "answers", *which, book=book)


@app.command("print")
def print_(
    codes: Annotated[
        list[str],
        typer.Argument(
            metavar="CODE...", help="The codes at the foot of the sheets.", autocompletion=sheets_known
        ),
    ],
    to: FolderOption = None,
    paper: PaperOption = None,
    boards: BoardsOption = _BOARDS,
    large: LargeOption = False,
    two_sides: TwoSidesOption = False,
    two_up: TwoUpOption = False,
    notation: NotationOption = None,
    letters: LettersOption = None,
    book: BookOption = None,
) -> None:
    """Print sheets and their key again. With the same options they are exactly as they were.

    Were several sheets made together? Name them in their order, and you get the same two files.
    """
    from coachbook.workflows.members import open_club
    from coachbook.workflows.printed_sheets import reprint_sheets

    opened = open_club(book)
    options = paper_options(
        opened.settings, paper, notation, letters, boards, large=large, two_sides=two_sides, two_up=two_up
    )
    _show(reprint_sheets(opened, codes, to or opened.settings.papers, options), options)


@app.command("list")
def list_(student: StudentOption = None, book: BookOption = None, as_json: JsonOption = False) -> None:
    """List the sheets that were made, the newest last."""
    from coachbook.workflows.members import open_club
    from coachbook.workflows.printed_sheets import list_sheets

    sheets = list_sheets(open_club(book), student)
    if as_json:
        print_json(sheets)
    elif sheets:
        show_table(
            ("Sheet", "Made", "Unit", "Items", "Students"),
            [
                (each.code, shown_day(each.made_on), each.unit, str(each.items), ", ".join(each.students))
                for each in sheets
            ],
        )
    else:
        typer.echo("There is no sheet yet. Make one with 'coachbook sheet make'.")


@app.command("show")
def show(
    code: CodeArgument,
    book: BookOption = None,
    as_json: JsonOption = False,
) -> None:
    """Show a sheet item by item. For each there is the position, the task, the right answer, and the reason
    as on the key.

    Moves are written with the club's own letters for the pieces. The board, its FEN and JSON have English
    ones.
    """
    from coachbook.workflows.members import open_club
    from coachbook.workflows.sheet_shown import shown_items

    opened, english = open_club(book), PaperOptions().letters
    items = shown_items(opened, code, english if as_json else opened.letters or english)
    if as_json:
        print_json(items)
        return
    for item in items:
        if item.number > 1:
            typer.echo()
        _show_item(item)


def _show_item(item: "ShownItem") -> None:
    right = (", " if item.all_needed else " or ").join(item.answer)
    typer.echo(f"{item.number}. {item.task}")
    for line in board_lines(Position(item.fen)):
        typer.echo(line)
    typer.echo(f"  {item.fen}")
    typer.echo(f"  Right: {right or 'none'}. {item.reason}".rstrip())
    typer.echo(f"  From {item.unit}: {item.kind}, difficulty {item.difficulty}")


def _show(printed: "PrintedSheets", options: PaperOptions) -> None:
    show_table(
        ("Sheet", "Items", "Students"),
        [(sheet.code, _items(sheet), ", ".join(names)) for sheet, names in printed.handed_out],
    )
    typer.echo()
    typer.echo(f"Written: {printed.sheets_pdf}")
    typer.echo(f"         {printed.key_pdf}")
    if options.two_up and options.two_sides:
        typer.echo(CUT_IN_HALF)
    if printed.note:
        typer.echo(printed.note)


def _items(sheet: "Worksheet") -> str:
    review = sum(item.unit != sheet.unit for item in sheet.items)
    return f"{len(sheet.items)} ({review} review)" if review else str(len(sheet.items))

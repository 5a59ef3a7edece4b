"""Measures the worksheets: `python -m tests.bench.sheets`, on a quiet machine.

A class of thirty, each with a sheet of their own: 24 exercises on four pages, and all the keys. Time
is processor time of one process (a second core is left to others); *warm* means that the tables and the
positions of the unit are at hand. Prints a table and puts it into RESULTS.md beside this file, in a
section of its own.
"""

import platform
import sys
import tempfile
from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from datetime import date
from functools import partial
from pathlib import Path

import reportlab
from pypdf import PdfReader

from coachbook.club.book import Book, create_book
from coachbook.club.students import add_student
from coachbook.model.print_options import PaperOptions
from coachbook.model.syllabus import Syllabus, Unit
from coachbook.paper.answer_key import key_pdf
from coachbook.paper.sheet_pages import worksheets_pdf
from coachbook.workflows.printed_sheets import PrintedSheets, make_sheets
from coachbook.workflows.sheet_making import SheetRequest
from coachbook.workflows.standings import load_syllabus
from tests.bench.endgame import Row, as_markdown, peak_mib, put_section, seconds

STUDENTS, ITEMS, ITEMS_A_PAGE = 30, 24, 6
TITLE = "# Speed of the worksheets"
UNITS = ("queen-walls", "rook-box", "two-majors", "king-and-pawn", "bishop-and-knight")
DAY = date(2026, 9, 10)
OPTIONS = PaperOptions(boards_a_page=ITEMS_A_PAGE)


@dataclass(frozen=True, slots=True)
class Measured:
    """Seconds for thirty sheets with their keys, the drawing of the sheets and of the keys in them;
    seconds for one sheet with its key; pages of the sheets, and bytes for each page of a file."""

    unit: str
    all: float
    sheets: float
    keys: float
    one: float
    pages: int
    sheet_page: float
    key_page: float


def a_club(folder: Path) -> tuple[Book, tuple[str, ...]]:
    names = tuple(f"Student {number:02}" for number in range(1, STUDENTS + 1))
    book = create_book(folder / "club.book", "Harbour Lane")
    with book.writing() as page:
        for name in names:
            add_student(page, name)
    return book, names


def measure(syllabus: Syllabus, unit: Unit, folder: Path) -> Measured:
    """Thirty sheets of a unit in a new club."""
    folder.mkdir()
    book, names = a_club(folder)
    request = SheetRequest(unit, names, ITEMS, 1, DAY, personal=True)
    one = replace(request, students=names[:1], seed=2)
    made: list[PrintedSheets] = []

    def make(asked: SheetRequest) -> None:
        made.append(make_sheets(book, syllabus, asked, folder, OPTIONS))

    make(one)  # to be warm
    single = min(seconds(partial(make, replace(one, seed=seed))) for seed in range(3, 6))
    spent = seconds(lambda: make(request))
    printed = made[-1]
    copies = [(sheet, name) for sheet, students in printed.handed_out for name in students]
    sheets = seconds(lambda: worksheets_pdf(copies, OPTIONS))
    keys = seconds(lambda: key_pdf([sheet for sheet, _ in copies], OPTIONS))
    pages, key_pages = (len(PdfReader(path).pages) for path in (printed.sheets_pdf, printed.key_pdf))
    return Measured(
        unit.code,
        spent,
        sheets,
        keys,
        single,
        pages,
        printed.sheets_pdf.stat().st_size / pages,
        printed.key_pdf.stat().st_size / key_pages,
    )


def rows_of(measured: list[Measured]) -> Iterator[Row]:
    """What was measured, the worst of all units, and the aim."""
    told: tuple[tuple[str, Callable[[Measured], float], str, str], ...] = (
        ("thirty sheets of 24 exercises, verified, with keys", lambda each: each.all, "{:.1f} s", "10 s"),
        ("of that, drawing the sheets", lambda each: each.sheets, "{:.2f} s", "3 s"),
        ("of that, drawing the keys", lambda each: each.keys, "{:.2f} s", ""),
        ("one such sheet with its key", lambda each: each.one, "{:.2f} s", "0.5 s"),
        ("a page of the sheets", lambda each: each.sheet_page / 1024, "{:.1f} KiB", "15 KB"),
        ("a page of the keys", lambda each: each.key_page / 1024, "{:.1f} KiB", "15 KB"),
    )
    for what, value, form, aim in told:
        worst = max(measured, key=value)
        yield what, f"{form.format(value(worst))} ({worst.unit})", f"under {aim}" if aim else ""
    pages = sorted({each.pages for each in measured})
    yield "pages of the sheets", " or ".join(map(str, pages)), f"{STUDENTS * ITEMS // ITEMS_A_PAGE}"
    yield "peak memory with the tables of all these units", f"{peak_mib():.0f} MiB", ""


def main() -> None:
    syllabus = load_syllabus()
    with tempfile.TemporaryDirectory() as room:
        measured = [measure(syllabus, syllabus.unit(code), Path(room) / code) for code in UNITS]
    versions = f"Python {platform.python_version()}, ReportLab {reportlab.__version__}, {platform.machine()}"
    text = (
        f"{TITLE}\n\nMeasured by `python -m tests.bench.sheets` ({versions}); processor time of one process,"
        f" warm. The worst of the units {', '.join(UNITS)}.\n\n"
        f"{as_markdown(('', 'measured', 'aim'), list(rows_of(measured)))}\n"
    )
    put_section(TITLE, text)
    sys.stdout.write(text)


if __name__ == "__main__":
    main()

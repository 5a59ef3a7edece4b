"""The answer key of worksheets: for each item a marked board, the answer, the reasons, a written plan."""

from collections.abc import Mapping, Sequence
from types import MappingProxyType

from reportlab.pdfgen.canvas import Canvas

from coachbook.model.print_options import PaperOptions
from coachbook.model.worksheet import Worksheet
from coachbook.paper.key_rows import (
    KeyRow,
    column_width,
    draw_columns,
    in_columns,
    key_row,
    number_width,
)
from coachbook.paper.page import MM, Frame, draw_footer, draw_heading, frame_of, pdf_of
from coachbook.paper.sheet_head import mix_line
from coachbook.paper.text import draw_fitted, text_width
from coachbook.wording.counting import day_in_words, level_in_words

_HEADING = 18 * MM
# Under the title, what else is on the sheet, in a line of its own.
_MIX, _MIX_LINE = 48.0, 3 * MM
# In the same line, below the code, whose sheet it is.
_NAMES, _MOST_NAMES = 11.0, 4
_FOOTER = 8 * MM
_GAP = 5 * MM


def key_pdf(
    worksheets: Sequence[Worksheet],
    options: PaperOptions,
    names: Mapping[str, Sequence[str]] = MappingProxyType({}),
) -> bytes:
    """The answer key of each worksheet in one PDF, each from a new page.

    `names` has the students of a sheet by its code; they stand below it, unless they are too many to
    be found by. Raises CoachbookError if there is no worksheet.
    """
    frame = frame_of(options.size)

    def draw(canvas: Canvas) -> None:
        for number, sheet in enumerate(worksheets, start=1):
            canvas.bookmarkPage(f"key{number}")
            given = _named(names.get(sheet.code, ()))
            title = " - ".join(part for part in (sheet.unit_title, sheet.code, given) if part)
            canvas.addOutlineEntry(title, f"key{number}")
            rows = _rows(sheet, frame, options.men)
            pages = in_columns(rows, frame.top - _heading(sheet, given) - frame.bottom - _FOOTER)
            for page, on_page in enumerate(pages, start=1):
                _draw_page(canvas, frame, sheet, given, on_page, f"page {page} of {len(pages)}")

    codes = ", ".join(sheet.code for sheet in worksheets)
    return pdf_of(options.size, f"Answer key {codes}", draw)


def _named(students: Sequence[str]) -> str:
    """Such as "Ada, Ben", or "" of a sheet that goes to many."""
    named = [student for student in students if student]
    return ", ".join(named) if len(named) <= _MOST_NAMES else ""


def _heading(sheet: Worksheet, names: str) -> float:
    return _HEADING + _MIX_LINE if names or mix_line(sheet) else _HEADING


def _rows(sheet: Worksheet, frame: Frame, men: str) -> list[KeyRow]:
    """The rows of a sheet; an item from another unit, and each of an assessment, says from which."""
    numbers = [str(number) for number in range(1, len(sheet.items) + 1)]
    width, indent = column_width(frame), number_width(numbers)
    own = "" if sheet.assessed else sheet.unit
    others = [sheet.title_of(item.unit) if item.unit != own else "" for item in sheet.items]
    return [
        key_row(number, item, width, men, indent, unit=unit)
        for number, item, unit in zip(numbers, sheet.items, others, strict=True)
    ]


def _draw_page(
    canvas: Canvas, frame: Frame, sheet: Worksheet, names: str, columns: Sequence[Sequence[KeyRow]], page: str
) -> None:
    level = level_in_words(sheet.level, sheet.level_title)
    draw_heading(canvas, frame, sheet.club, level, f"Answers: {sheet.unit_title}", size=16, corner=sheet.code)
    width = min(text_width(names, _NAMES, bold=True), frame.width / 2)
    draw_fitted(canvas, frame.right - width, frame.top - _MIX, names, _NAMES, width, bold=True)
    if mix := mix_line(sheet):
        draw_fitted(canvas, frame.left, frame.top - _MIX, mix, 9.0, frame.width - width - _GAP)
    draw_columns(canvas, frame, columns, frame.top - _heading(sheet, names))
    draw_footer(canvas, frame, sheet.code, page, f"made {day_in_words(sheet.made_on)}")
    canvas.showPage()

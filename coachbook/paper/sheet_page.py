"""Worksheets: one to nine boards a page, each with its task and a place for the answer.

Every page stands alone: it has the heading, the name line, the code and its number, so
that loose pages find home. Nothing of a student is printed but the name. The place for moves
looks the same in every cell of a sheet and so does not give away how many moves are right.
"""

from collections.abc import Sequence

from reportlab.pdfgen.canvas import Canvas

from coachbook.model.print_options import PaperOptions
from coachbook.model.worksheet import Worksheet
from coachbook.paper.page import frame_of, pdf_of
from coachbook.paper.sheet_head import draw_sheet_footer, draw_sheet_head
from coachbook.paper.sheet_pages import laid_out


def worksheets_pdf(copies: Sequence[tuple[Worksheet, str]], options: PaperOptions) -> bytes:
    """Each copy in one PDF: a worksheet and the student's name, "" for a blank name line.

    Raises CoachbookError if there is no copy, or an item is too long for any page.
    """
    title = " / ".join(dict.fromkeys(f"{sheet.unit_title} ({sheet.code})" for sheet, _ in copies))

    def draw(canvas: Canvas) -> None:
        for number, (sheet, student) in enumerate(copies, start=1):
            canvas.bookmarkPage(f"copy{number}")
            canvas.addOutlineEntry(f"{student or sheet.unit_title} - {sheet.code}", f"copy{number}")
            _draw_copy(canvas, sheet, student, options)

    return pdf_of(options.size, title, draw)


def pages_needed(sheet: Worksheet, options: PaperOptions) -> int:
    """How many pages a copy of a sheet has. Raises CoachbookError if an item is too long for any page."""
    return len(laid_out(sheet, frame_of(options.size), options))


def _draw_copy(canvas: Canvas, sheet: Worksheet, student: str, options: PaperOptions) -> None:
    frame = frame_of(options.size)
    pages = laid_out(sheet, frame, options)
    for number, page in enumerate(pages, start=1):
        draw_sheet_head(canvas, frame, sheet, student, large=options.large_print)
        for place, block in page:
            block.draw(canvas, place.x, place.top)
        draw_sheet_footer(canvas, frame, sheet, number, len(pages), large=options.large_print)
        canvas.showPage()
    if options.two_sides and len(pages) % 2:
        canvas.showPage()

"""How a worksheet is shared out over pages: what helps first, then the items, on as little paper as can be.

What its words mean stands in a cell of the first page where that costs no page, else in a frame above the
first row, for which the boards of the first page may shrink a little, or a row moves on.
"""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from functools import partial

from reportlab.pdfgen.canvas import Canvas

from coachbook.errors import CoachbookError
from coachbook.model.print_options import PaperOptions
from coachbook.model.worksheet import Worksheet
from coachbook.paper.flow import Block
from coachbook.paper.page import MM, Frame, frame_of, half_page, pdf_of
from coachbook.paper.sheet_cells import ItemCells, example_cell, words_frame
from coachbook.paper.sheet_head import draw_sheet_footer, draw_sheet_head
from coachbook.paper.sheet_layout import (
    SMALLEST_BOARD,
    Area,
    Layout,
    body_height,
    cells,
    layouts,
)

Page = list[tuple[Area, Block]]
"""What stands where on a page."""

_BESIDE, _ABOVE, _LARGE, _AT_LAST = (10.5, 10.0, 9.5, 9.0), (10.0, 9.0), (18.0,), (14.0, 11.0, 9.0)
"""Sizes of type for the words: in a cell, above the rows, in large print, and where else no page has room."""
_SMALLER = 0.7
"""To such a share of its size a board may shrink to make room for the words."""


_LEAST_TWO_UP = 25 * MM
"""A board is as large at least when its page has shrunk to half a page."""

_Cell = Callable[[Area, float], Block]
"""What stands in a cell, by its area and by how small a board may be."""


@dataclass(frozen=True, slots=True)
class _Plan:
    """A way to share out a sheet: the words in a cell (`beside`) or in a frame `above` so many rows of the
    first page; how many cells are filled on each page; and how small a board of the first may be."""

    rows: int
    pages: tuple[int, ...]
    above: Block | None = None
    beside: Block | None = None
    smallest: float = 0


def laid_out(sheet: Worksheet, frame: Frame, options: PaperOptions) -> list[Page]:
    """The pages of a sheet in the first layout in which all of it fits. Raises CoachbookError if there is
    none."""
    *closer, last = layouts(options)
    for layout in closer:
        try:
            return _pages(sheet, layout, frame, options)
        except CoachbookError:
            # Too long for so many boards a page; the next layout is roomier.
            continue
    return _pages(sheet, last, frame, options)


def _pages(sheet: Worksheet, layout: Layout, frame: Frame, options: PaperOptions) -> list[Page]:
    """By the best plan that has room for everything. Raises CoachbookError if none has."""
    items = ItemCells.of(layout, sheet.items, cells(layout, frame)[0].width, options.men)
    least = _LEAST_TWO_UP / half_page(options.size).scale if options.two_up else 0
    *better, last = _plans(sheet, layout, frame)
    for plan in better:
        try:
            return _by_plan(plan, sheet, items, frame, least)
        except CoachbookError:
            continue
    return _by_plan(last, sheet, items, frame, least)


def _plans(sheet: Worksheet, layout: Layout, frame: Frame) -> list[_Plan]:
    """The best first: with the fewest pages, then with the words in a cell, then with the largest boards."""
    count = len(sheet.items) + (sheet.example is not None)
    if not sheet.words and not sheet.cards:
        return [_Plan(layout.rows, _shares(count, layout.boards, layout))]
    sizes = _LARGE if layout.large else _ABOVE
    plans = _with_words_beside(sheet, layout, frame, count)
    plans += _with_words_above(sheet, layout, frame, count, sizes)
    plans = plans or list(_with_words_above(sheet, layout, frame, count, _AT_LAST))
    if not plans:
        raise CoachbookError("The words of a sheet are too long for a page.", "Choose other exercises.")
    return sorted(plans, key=lambda plan: (len(plan.pages), plan.smallest > 0))


def _with_words_beside(sheet: Worksheet, layout: Layout, frame: Frame, count: int) -> list[_Plan]:
    cell = cells(layout, frame)[0]
    for size in _LARGE if layout.large else _BESIDE:
        words = words_frame(sheet, cell.width, size)
        if words.height <= cell.height:
            return [_Plan(layout.rows, _shares(count + 1, layout.boards, layout), beside=words)]
    return []


def _with_words_above(
    sheet: Worksheet, layout: Layout, frame: Frame, count: int, sizes: Sequence[float]
) -> Iterator[_Plan]:
    """With ever fewer rows on the first page, and for each with ever smaller type."""
    whole = body_height(layout, frame) + layout.row_gap
    for rows in range(layout.rows, -1, -1):
        for size in sizes:
            words = words_frame(sheet, frame.width, size)
            left = whole - words.height - layout.row_gap
            if left >= rows * SMALLEST_BOARD:
                is_tight = left < rows * whole / layout.rows
                smallest = max(SMALLEST_BOARD, _SMALLER * layout.board) if is_tight else 0
                yield _Plan(rows, _shares(count, rows * layout.columns, layout), words, smallest=smallest)


def _shares(count: int, first: int, layout: Layout) -> tuple[int, ...]:
    """How many cells are filled on each page, of which the first has room for so many.

    A row moves to the last page where that would have one alone.
    """
    shares = [min(count, first)]
    while (left := count - sum(shares)) > 0:
        shares.append(min(left, layout.boards))
    if len(shares) > 1 and shares[-1] == 1 and layout.columns > 1 and shares[-2] > layout.columns:
        shares[-2:] = [shares[-2] - layout.columns, 1 + layout.columns]
    return tuple(shares)


def _by_plan(plan: _Plan, sheet: Worksheet, items: ItemCells, frame: Frame, least: float) -> list[Page]:
    """The pages, on which no board is smaller than `least`. Raises CoachbookError if they have no room."""
    layout = items.layout
    high = plan.above.height + layout.row_gap if plan.above else 0
    coming = iter(_in_order(plan, sheet, items))
    pages: list[Page] = []
    for number, share in enumerate(plan.pages):
        places = cells(layout, frame) if number else cells(layout, frame, high, plan.rows)
        smallest = max(least, 0 if number else plan.smallest)
        pages.append(
            [(place, cell(place, smallest)) for place, cell in zip(places[:share], coming, strict=False)]
        )
    if plan.above:
        top = frame.top - layout.heading
        pages[0].insert(0, (Area(frame.left, top - high, frame.width, high), plan.above))
    return pages


def _in_order(plan: _Plan, sheet: Worksheet, items: ItemCells) -> Iterator[_Cell]:
    """What goes into cells: the example, the words if they do, the items."""
    example, beside = sheet.example, plan.beside
    if example is not None:
        yield lambda area, smallest: example_cell(items.layout, example, area, items.men, smallest)
    if beside is not None:
        yield lambda _area, _smallest: beside
    for index in range(len(sheet.items)):
        yield partial(items.cell, index)


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

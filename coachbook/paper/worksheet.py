"""Worksheets: two to twelve boards a page, each with its task and a place for the answer.

Every page stands alone: it has the heading, the name line, the code and its number, so
that loose pages find home. Nothing of a student is printed but the name. The place for moves
looks the same in every cell of a sheet and so does not give away how many moves are right.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from reportlab.pdfgen.canvas import Canvas

from coachbook.errors import CoachbookError
from coachbook.model.exercise import Exercise
from coachbook.model.worksheet import Worksheet
from coachbook.paper.diagram import draw_diagram
from coachbook.paper.flow import Block
from coachbook.paper.layout import Area, Layout, Spot, cells, layouts, spots
from coachbook.paper.options import PaperOptions
from coachbook.paper.page import Frame, frame_of, write_pdf
from coachbook.paper.places import answer_place, most_moves
from coachbook.paper.sheet_page import draw_sheet_footer, draw_sheet_head
from coachbook.paper.stamp import stamp
from coachbook.paper.text import LEADING, draw_centred, draw_text, fit, notated, text_width, wrap


@dataclass(frozen=True, slots=True)
class _Placed:
    """An item as it goes into a cell: its task in lines, the spot of its board, its answer's place."""

    item: Exercise
    task: tuple[str, ...]
    task_size: float
    spot: Spot
    place: Block


def write_worksheets(copies: Sequence[tuple[Worksheet, str]], path: Path, options: PaperOptions) -> None:
    """Print each copy: a worksheet and the student's name, "" for a blank name line.

    Raises CoachbookError if the file cannot be written or an item is too long for any page.
    """
    title = " / ".join(dict.fromkeys(f"{sheet.unit_title} ({sheet.code})" for sheet, _ in copies))

    def draw(canvas: Canvas) -> None:
        for number, (sheet, student) in enumerate(copies, start=1):
            canvas.bookmarkPage(f"copy{number}")
            canvas.addOutlineEntry(f"{student or sheet.unit_title} - {sheet.code}", f"copy{number}")
            _draw_copy(canvas, sheet, student, options)

    write_pdf(path, options.size, title, draw)


def _draw_copy(canvas: Canvas, sheet: Worksheet, student: str, options: PaperOptions) -> None:
    frame = frame_of(options.size)
    layout, placed = _laid_out(sheet, frame, options)
    pages = -(-len(placed) // layout.boards)
    for page in range(pages):
        first = page * layout.boards
        draw_sheet_head(canvas, frame, sheet, student, large=layout.large)
        for number, (cell, item) in enumerate(
            zip(cells(layout, frame), placed[first:], strict=False), first + 1
        ):
            canvas.saveState()
            canvas.translate(cell.x, cell.y)
            _draw_item(canvas, layout, cell.height, number, item)
            canvas.restoreState()
        draw_sheet_footer(canvas, frame, sheet, page + 1, pages, large=layout.large)
        canvas.showPage()
    if options.two_sides and pages % 2:
        canvas.showPage()


def _laid_out(sheet: Worksheet, frame: Frame, options: PaperOptions) -> tuple[Layout, list[_Placed]]:
    """The first layout in which every item of the sheet fits, with its items. Raises CoachbookError."""
    *closer, last = layouts(options)
    for layout in closer:
        try:
            return layout, _placed(layout, frame, sheet.items, options.men)
        except CoachbookError:
            # Too long for so many boards a page; the next layout is roomier.
            continue
    return last, _placed(last, frame, sheet.items, options.men)


def _placed(layout: Layout, frame: Frame, items: Sequence[Exercise], men: str) -> list[_Placed]:
    """All items of a sheet, their boards on one height under the longest task. Raises CoachbookError."""
    cell = cells(layout, frame)[0]
    width, most = cell.width - _task_x(layout), most_moves(items)
    tasks = [notated(item.task, men) for item in items]
    sizes = [fit(task, layout.task_sizes, width, layout.task_height) for task in tasks]
    lines = [wrap(task, size, width) for task, size in zip(tasks, sizes, strict=True)]
    high = max(len(task) * size * LEADING for task, size in zip(lines, sizes, strict=True))
    placed = []
    for item, task, size in zip(items, lines, sizes, strict=True):
        spot, place = _spot(layout, cell, max(high, 2 * layout.badge), item, men, most)
        placed.append(_Placed(item, task, size, spot, place))
    return placed


def _spot(
    layout: Layout, cell: Area, task_height: float, item: Exercise, men: str, most: int
) -> tuple[Spot, Block]:
    """The largest board that leaves room for the answer, and the answer's place. Raises CoachbookError."""
    for spot in spots(layout, cell, task_height):
        place = answer_place(item.answer, spot.answer, layout, men, most)
        if place is not None:
            return spot, place
    raise CoachbookError(
        f"The answer to '{item.task[:40]}' is too long for its place on paper.", "Shorten it."
    )


def _task_x(layout: Layout) -> float:
    return 2 * layout.badge + 6


def _draw_item(canvas: Canvas, layout: Layout, top: float, number: int, placed: _Placed) -> None:
    badge, size = layout.badge, placed.task_size
    _draw_badge(canvas, badge, top - badge, number, badge)
    first = top - 1.04 * size if len(placed.task) > 1 else top - badge - 0.35 * size
    for i, line in enumerate(placed.task):
        draw_text(canvas, _task_x(layout), first - i * size * LEADING, line, size)
    spot, item = placed.spot, placed.item
    draw_diagram(canvas, item.position, item.task_marks, spot.x, spot.y, spot.board, layout.coordinates)
    _draw_side_to_move(canvas, layout, spot, white=item.position.white_to_move)
    answer = spot.answer
    # Beside the board the place stands on its foot line, under the board it hangs from it.
    place_top = answer.y + placed.place.height if layout.beside else answer.top
    placed.place.draw(canvas, answer.x, place_top)


def _draw_badge(canvas: Canvas, x: float, y: float, number: int, radius: float) -> None:
    box = (-radius, -radius, radius, radius)
    name = f"badge-{round(radius * 10)}"
    stamp(canvas, name, box, lambda: canvas.circle(0, 0, radius, stroke=0, fill=1), x, y)
    canvas.setFillGray(1)
    size = radius * (1.3 if number < 100 else 1.0)
    draw_centred(canvas, x, y - 0.35 * size, str(number), size, bold=True)
    canvas.setFillGray(0)


def _draw_side_to_move(canvas: Canvas, layout: Layout, spot: Spot, *, white: bool) -> None:
    """A disc in the colour of the side to move and the words: beside it, or under it on a narrow rail."""
    word, size = "White" if white else "Black", layout.label
    disc = 0.72 * size
    beside = 2 * disc + 0.4 * size
    if spot.one_line:
        words = ((beside, 0.35 * size), (beside + text_width(f"{word} ", size, bold=True), 0.35 * size))
    elif layout.beside:
        words = ((beside, -0.12 * size), (beside, 0.98 * size))
    else:
        words = ((0, disc + 1.05 * size), (0, disc + 2.15 * size))

    def draw() -> None:
        canvas.setLineWidth(0.13 * size)
        canvas.setFillGray(1 if white else 0)
        canvas.circle(disc, -disc, disc - 0.065 * size, fill=1)
        canvas.setFillGray(0)
        draw_text(canvas, words[0][0], -disc - words[0][1], word, size, bold=True)
        draw_text(canvas, words[1][0], -disc - words[1][1], "to move", size)

    box = (0, -6 * disc, 11 * size, 4)
    name = f"{word}-{round(size * 10)}-{round(words[1][0])}-{round(words[1][1])}"
    stamp(canvas, name, box, draw, spot.side_x, spot.side_top)

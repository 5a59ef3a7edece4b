"""Worksheets: two by three boards a page, each with its task and a place for the answer.

Every page stands alone: it has the heading, the name line, the code and its number, so
that loose pages find home. The place for moves looks the same in every cell of a sheet and
so does not give away how many moves are right.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from reportlab.pdfgen.canvas import Canvas

from coachbook.model.exercise import AnswerForm, Exercise
from coachbook.model.worksheet import Worksheet
from coachbook.paper.diagram import RIM, draw_diagram
from coachbook.paper.options import Notation, PaperOptions
from coachbook.paper.page import LEADING, MM, Frame, draw_heading, draw_rule, frame_of, write_pdf
from coachbook.paper.qr import draw_qr
from coachbook.paper.stamp import stamp
from coachbook.paper.text import (
    draw_centred,
    draw_fitted,
    draw_right,
    draw_text,
    figurines,
    fit,
    text_width,
    wrap,
)

COLUMNS, ROWS = 2, 3
_HEADING = 27 * MM
_FOOTER = 20.5 * MM
_GUTTER = 7 * MM
_ROW_GAP = 4.5 * MM
_LARGEST_BOARD = 53 * MM
_TASK_SIZES = (12, 11.5, 11, 10.5, 10, 9.5, 9, 8.5, 8)
_TASK_LINES = 2
_TASK_HEIGHT = _TASK_LINES * _TASK_SIZES[0] * LEADING + 2
_BADGE = 8.5
_DISC = 7.2
_LABEL = 10.0
# More than six lines would be too low for a child's hand; then two moves share a line.
_FEWEST_LINES, _MOST_LINES = 5, 6


@dataclass(frozen=True, slots=True)
class _Cell:
    """Where one item goes (lower left corner, in points), and what its sheet has in common."""

    x: float
    y: float
    width: float
    board: float
    move_lines: int
    notation: Notation

    @property
    def top(self) -> float:
        return self.board_y + self.board + 5 + _TASK_HEIGHT

    @property
    def board_y(self) -> float:
        return self.y + RIM

    @property
    def rail_x(self) -> float:
        return self.x + RIM + self.board + 3.2 * MM

    @property
    def rail_width(self) -> float:
        return self.x + self.width - self.rail_x


def write_worksheets(copies: Sequence[tuple[Worksheet, str]], path: Path, options: PaperOptions) -> None:
    """Print each copy: a worksheet and the student's name, "" for a blank name line.

    Raises CoachbookError if the file cannot be written or a task is too long for its cell.
    """
    title = " / ".join(dict.fromkeys(f"{sheet.unit_title} ({sheet.code})" for sheet, _ in copies))

    def draw(canvas: Canvas) -> None:
        for number, (sheet, student) in enumerate(copies, start=1):
            canvas.bookmarkPage(f"copy{number}")
            canvas.addOutlineEntry(f"{student or sheet.unit_title} - {sheet.code}", f"copy{number}")
            _draw_copy(canvas, sheet, student, options)

    write_pdf(path, options.size, title, draw)


def move_lines(items: Sequence[Exercise]) -> int:
    """How many lines for moves each cell gets that asks for every right move: one number per sheet."""
    most = max((len(item.answer.accepted) for item in items if item.answer.all_needed), default=0)
    return min(max(_FEWEST_LINES, most), _MOST_LINES)


def _draw_copy(canvas: Canvas, sheet: Worksheet, student: str, options: PaperOptions) -> None:
    frame = frame_of(options.size)
    per_page = COLUMNS * ROWS
    pages = -(-len(sheet.items) // per_page)
    for page in range(pages):
        _draw_head(canvas, frame, sheet, student)
        for slot, item in enumerate(sheet.items[page * per_page : (page + 1) * per_page]):
            cell = _cell(frame, slot, move_lines(sheet.items), options.notation)
            _draw_item(canvas, cell, page * per_page + slot + 1, item)
        _draw_footer(canvas, frame, sheet, page + 1, pages)
        canvas.showPage()


def _cell(frame: Frame, slot: int, lines: int, notation: Notation) -> _Cell:
    body = frame.top - _HEADING - frame.bottom - _FOOTER
    pitch = (body + _ROW_GAP) / ROWS
    width = (frame.width - _GUTTER) / COLUMNS
    column, row = slot % COLUMNS, slot // COLUMNS
    board = min(_LARGEST_BOARD, pitch - _ROW_GAP - _TASK_HEIGHT - 5 - RIM)
    spare = pitch - _ROW_GAP - _TASK_HEIGHT - 5 - RIM - board
    y = frame.top - _HEADING + _ROW_GAP - (row + 1) * pitch + spare
    return _Cell(frame.left + column * (width + _GUTTER), y, width, board, lines, notation)


def _draw_head(canvas: Canvas, frame: Frame, sheet: Worksheet, student: str) -> None:
    level = f"Level {sheet.level} \N{MIDDLE DOT} {sheet.level_title}"
    draw_heading(canvas, frame, sheet.club, level, sheet.unit_title)
    y = frame.top - 59
    date_x = frame.right - 52 * MM
    _draw_blank(canvas, frame.left, date_x - 6 * MM, y, "Name", student)
    _draw_blank(canvas, date_x, frame.right, y, "Date", "")


def _draw_blank(canvas: Canvas, x: float, right: float, y: float, label: str, filled: str) -> None:
    """A labelled line to write on, or with `filled` already on it."""
    draw_text(canvas, x, y, label, 10.5)
    start = x + text_width(label, 10.5) + 5
    draw_rule(canvas, start, right, y - 3)
    draw_fitted(canvas, start + 4, y, filled, 14, right - start - 6, bold=True)


def _draw_item(canvas: Canvas, cell: _Cell, number: int, item: Exercise) -> None:
    task = figurines(item.task, cell.notation)
    left = cell.x + 2 * _BADGE + 6
    width = cell.x + cell.width - left
    size = fit(task, _TASK_SIZES, width, _TASK_LINES)
    _draw_badge(canvas, cell.x + _BADGE, cell.top - _BADGE, number)
    lines = wrap(task, size, width)
    first = cell.top - 12.5 if len(lines) > 1 else cell.top - _BADGE - 0.35 * size
    for i, line in enumerate(lines):
        draw_text(canvas, left, first - i * size * LEADING, line, size)
    draw_diagram(canvas, item.position, item.task_marks, cell.x + RIM, cell.board_y, cell.board)
    _draw_side_to_move(canvas, cell, white=item.position.white_to_move)
    if item.answer.form is AnswerForm.NUMBER:
        _draw_number_place(canvas, cell)
    else:
        _draw_move_place(canvas, cell, several=item.answer.all_needed)


def _draw_badge(canvas: Canvas, x: float, y: float, number: int) -> None:
    box = (-_BADGE, -_BADGE, _BADGE, _BADGE)
    stamp(canvas, "badge", box, lambda: canvas.circle(0, 0, _BADGE, stroke=0, fill=1), x, y)
    canvas.setFillGray(1)
    size = 11 if number < 100 else 8.5
    draw_centred(canvas, x, y - 0.35 * size, str(number), size, bold=True)
    canvas.setFillGray(0)


def _draw_side_to_move(canvas: Canvas, cell: _Cell, *, white: bool) -> None:
    """A disc in the colour of the side to move, at the top of the rail, and the words."""
    word = "White" if white else "Black"

    def draw() -> None:
        canvas.setLineWidth(1.3)
        canvas.setFillGray(1 if white else 0)
        canvas.circle(_DISC, -_DISC, _DISC - 0.65, fill=1)
        canvas.setFillGray(0)
        draw_text(canvas, 2 * _DISC + 4, 1.2 - _DISC, word, _LABEL, bold=True)
        draw_text(canvas, 2 * _DISC + 4, -9.8 - _DISC, "to move", _LABEL)

    box = (0, -4 * _DISC, cell.rail_width, 4)
    stamp(canvas, f"{word}-to-move", box, draw, cell.rail_x, cell.board_y + cell.board)


def _draw_number_place(canvas: Canvas, cell: _Cell) -> None:
    height = 15 * MM
    _draw_bubble(canvas, cell, cell.board_y, height)
    draw_text(canvas, cell.rail_x, cell.board_y + height + 5, "How many?", _LABEL)
    draw_text(canvas, cell.rail_x, cell.board_y + height + 45, "You may shade", _LABEL)
    draw_text(canvas, cell.rail_x, cell.board_y + height + 33, "the board.", _LABEL)


def _draw_move_place(canvas: Canvas, cell: _Cell, *, several: bool) -> None:
    """Bubbles to write moves into, from the foot of the board upwards."""
    gap = 3.0
    count = cell.move_lines if several else 1
    space = cell.board - 30 - _LABEL
    height = min(9 * MM, (space - (count - 1) * gap) / count) if several else 12 * MM
    for i in range(count):
        _draw_bubble(canvas, cell, cell.board_y + i * (height + gap), height)
    top = cell.board_y + count * (height + gap) + 2
    draw_text(canvas, cell.rail_x, top, "None? Write -" if several else "Your move", _LABEL)


def _draw_bubble(canvas: Canvas, cell: _Cell, y: float, height: float) -> None:
    """A rounded box over the width of the rail, to write in."""
    width = cell.rail_width

    def draw() -> None:
        canvas.setLineWidth(1.1)
        canvas.roundRect(0.55, 0.55, width - 1.1, height - 1.1, 5)

    stamp(
        canvas,
        f"bubble-{round(width * 100)}-{round(height * 100)}",
        (0, 0, width, height),
        draw,
        cell.rail_x,
        y,
    )


def _draw_footer(canvas: Canvas, frame: Frame, sheet: Worksheet, page: int, pages: int) -> None:
    size = 16.5 * MM
    draw_qr(canvas, sheet.code, frame.left, frame.bottom, size)
    x, y = frame.left + size + 5 * MM, frame.bottom + 2
    draw_text(canvas, x, y + 14, sheet.code, 12, bold=True)
    draw_text(canvas, x, y, f"page {page} of {pages}", 10)
    if page == pages:
        _draw_score(canvas, frame.right, y, len(sheet.items))


def _draw_score(canvas: Canvas, right: float, y: float, items: int) -> None:
    of = f"of {items}"
    draw_right(canvas, right, y, of, 12)
    line_end = right - text_width(of, 12) - 5
    draw_rule(canvas, line_end - 15 * MM, line_end, y - 2)
    draw_right(canvas, line_end - 15 * MM - 5, y, "How many right?", 12)

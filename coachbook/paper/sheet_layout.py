"""Where things stand on a worksheet's page: boards, places to write an answer in, the code to scan.

All measures in points. A cell holds one item: its task above, the board below it, the answer
beside the board or under it. Positions within a cell start at its lower left corner.
A place to write in is a block that fits a given width and height.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import lru_cache

from reportlab.pdfgen.canvas import Canvas

from coachbook.model.print_options import PaperOptions
from coachbook.model.worksheet import Answer, AnswerForm, Exercise
from coachbook.paper.diagram import rim_of
from coachbook.paper.flow import Block, paragraph
from coachbook.paper.page import MM, Frame, stamp
from coachbook.paper.text import LEADING, draw_text, notated, wrap
from coachbook.paper.writing_boxes import box_to_write_in, labelled, line_boxes, race_boxes
from coachbook.wording.exercises import printed_options

# On smaller boards hatch and pieces do not survive a photocopy of a photocopy.
SMALLEST_BOARD = 28 * MM
_FOOTER = 20.5 * MM
_BELOW_TASK = 5.0
_BELOW_BOARD = 5.0
_SHARES = (1.0, 0.92, 0.84, 0.76, 0.68, 0.6)
# On a rail so wide, in type sizes, the side to move is named in one line.
_ONE_LINE = 9.5


@dataclass(frozen=True, slots=True)
class Layout:
    """One way to fill a page.

    The answer stands `beside` the board on a rail at least `rail` wide, or under it on a strip
    at least `strip` high, with a narrow rail for the side to move; the rail ends with a board of
    full size or goes on to the foot of the cell. `ruled` lines to write on fill what the answer
    leaves of a strip. `task_sizes` and `label_sizes` are type sizes from the best to the smallest
    allowed, `task_height` the most that a task may take.
    """

    columns: int
    rows: int
    board: float
    rail: float
    strip: float
    task_sizes: tuple[float, ...]
    task_height: float
    label_sizes: tuple[float, ...] = (10.0, 9.5, 9.0)
    badge: float = 8.5
    gutter: float = 7 * MM
    row_gap: float = 4.5 * MM
    heading: float = 27 * MM
    coordinates: float = 7.0
    large: bool = False
    ruled: bool = False

    @property
    def boards(self) -> int:
        return self.columns * self.rows

    @property
    def beside(self) -> bool:
        return self.strip == 0

    @property
    def label(self) -> float:
        return self.label_sizes[0]


@dataclass(frozen=True, slots=True)
class Area:
    """A rectangle by its lower left corner."""

    x: float
    y: float
    width: float
    height: float

    @property
    def top(self) -> float:
        return self.y + self.height


@dataclass(frozen=True, slots=True)
class Spot:
    """A board of size `board` with its corner at (x, y), the upper left corner of the side to move,
    and the area for the answer. `one_line` is whether one line has room for naming the side to move."""

    x: float
    y: float
    board: float
    side_x: float
    side_top: float
    one_line: bool
    answer: Area


_LARGE = (20.0, 19.0, 18.0)
_LAYOUTS = (
    Layout(3, 3, 40 * MM, 12.5 * MM, 19 * MM, (10.5, 10, 9.5, 9), 37, (9, 8.5), 7.5, 5 * MM, 4 * MM),
    Layout(2, 3, 53 * MM, 26 * MM, 0, (12, 11.5, 11, 10.5, 10), 39),
    Layout(2, 2, 70 * MM, 14 * MM, 25 * MM, (12, 11.5, 11, 10.5, 10), 52, coordinates=8),
    Layout(1, 2, 88 * MM, 60 * MM, 0, (13, 12, 11), 42, (11, 10.5, 10), 9.5, coordinates=9),
    Layout(1, 1, 140 * MM, 16 * MM, 56 * MM, (14, 13, 12), 52, (12, 11), 10.5, coordinates=11, ruled=True),
)
_LARGE_PRINT = (
    Layout(1, 2, 80 * MM, 60 * MM, 0, _LARGE, 52, (18,), 14, heading=46 * MM, coordinates=14, large=True),
    Layout(
        1, 1, 110 * MM, 48 * MM, 55 * MM, _LARGE, 105, (18,), 14, heading=46 * MM, coordinates=14, large=True
    ),
)


def layouts(options: PaperOptions) -> tuple[Layout, ...]:
    """The layouts that a sheet may take, the one asked for first, then ever roomier ones."""
    if options.large_print:
        return _LARGE_PRINT
    return tuple(layout for layout in _LAYOUTS if layout.boards <= options.boards_a_page)


def cells(layout: Layout, frame: Frame, above: float = 0, rows: int | None = None) -> list[Area]:
    """The cells of a page in reading order; or of so many `rows`, below something so high."""
    count = layout.rows if rows is None else rows
    body = body_height(layout, frame) + layout.row_gap
    pitch = min(body / layout.rows, (body - above) / max(count, 1))
    width = (frame.width - (layout.columns - 1) * layout.gutter) / layout.columns
    top = frame.top - layout.heading - above
    return [
        Area(
            frame.left + column * (width + layout.gutter),
            top + layout.row_gap - (row + 1) * pitch,
            width,
            pitch - layout.row_gap,
        )
        for row in range(count)
        for column in range(layout.columns)
    ]


def body_height(layout: Layout, frame: Frame) -> float:
    """What a page has between its heading and its foot."""
    return frame.top - layout.heading - frame.bottom - _FOOTER


def spots(layout: Layout, cell: Area, task_height: float) -> Iterator[Spot]:
    """Places for board and answer under a task, the largest board first: a smaller one leaves more room."""
    rim, gap = rim_of(layout.coordinates), 3.2 * MM if layout.columns < 3 else 2.6 * MM
    top = cell.height - task_height - _BELOW_TASK
    high = top - rim - (0 if layout.beside else layout.strip + _BELOW_BOARD)
    largest = min(layout.board, high, cell.width - rim - gap - layout.rail)
    for share in _SHARES:
        board = max(share * largest, min(largest, SMALLEST_BOARD))
        side_x, y = rim + board + gap, top - board
        one_line = layout.beside and cell.width - side_x >= _ONE_LINE * layout.label
        if layout.beside:
            end = y if board == largest else 0
            side = (1.7 if one_line else 2.9) * layout.label
            answer = Area(side_x, end, cell.width - side_x, top - side - end)
        else:
            answer = Area(0, 0, cell.width, y - rim - _BELOW_BOARD)
        yield Spot(rim, y, board, side_x, top, one_line, answer)


_GAP = 3.0
# What a child's hand needs: lower or narrower boxes are no place to write a move in.
_LOWEST_BOX, _NARROWEST_BOX = 6.2 * MM, 17 * MM
_HIGH_BOX, _WIDE_BOX = 9 * MM, 45 * MM
# Who needs large print writes large.
_LARGER = 1.6
# In a box so wide, two moves find room.
_SHARED_BOX = 26 * MM
# Fewer boxes than that would give away how few moves are right; many more look as if all were to be filled.
_FEWEST_BOXES = 3


def answer_place(answer: Answer, area: Area, layout: Layout, men: str, most_moves: int) -> Block | None:
    """The place for an answer, or None if it would be too small to read or to write in.

    Where every right move is asked for there is room for `most_moves`, and for three at least.
    """
    if answer.form is AnswerForm.CHOICE:
        return _choice(tuple(notated(option, men) for option in printed_options(answer)), area, layout)
    if answer.form is AnswerForm.RACE:
        return race_boxes(area.width, area.height, layout.label, _LARGER if layout.large else 1.0)
    if answer.form is AnswerForm.SQUARES and answer.all_needed:
        return paragraph("Mark your answer on the board.", area.width, layout.label)
    if answer.form is AnswerForm.NUMBER:
        return labelled(
            "How many?",
            layout.label,
            box_to_write_in(min(area.width, 40 * MM), _roomy(area, layout, 15 * MM)),
        )
    if answer.form is AnswerForm.LINE:
        replies = tuple(notated(reply, men) for reply in answer.replies)
        return line_boxes(replies, area.width, area.height, layout.label, _LARGER if layout.large else 1.0)
    if not answer.all_needed:
        label = "Your square" if answer.form is AnswerForm.SQUARES else "Your move"
        return labelled(
            label, layout.label, box_to_write_in(min(area.width, _WIDE_BOX), _roomy(area, layout, 12 * MM))
        )
    return _moves(area, layout, most_moves)


def most_moves(items: Sequence[Exercise]) -> int:
    """The most moves that any item of a sheet asks for: one number for the sheet, so that the
    boxes of an item do not give away how many of its moves are right."""
    forms = (item.answer for item in items if item.answer.form is AnswerForm.MOVES and item.answer.all_needed)
    return max((len(answer.accepted) for answer in forms), default=0)


def _roomy(area: Area, layout: Layout, wanted: float) -> float:
    return min(wanted, area.height - layout.label * LEADING - 2)


def _moves(area: Area, layout: Layout, most: int) -> Block | None:
    """Boxes for moves in as many columns as make them high enough, or None."""
    scale = _LARGER if layout.large else 1.0
    high, lowest = area.height - layout.label * LEADING - 2, scale * _LOWEST_BOX
    best: tuple[float, int, int, float] | None = None
    columns = 1
    while (width := min((area.width - (columns - 1) * _GAP) / columns, _WIDE_BOX)) >= scale * _NARROWEST_BOX:
        rows = min(-(-max(_FEWEST_BOXES, most) // columns), int((high + _GAP) / (lowest + _GAP)))
        room = columns * rows * (2 if width >= scale * _SHARED_BOX else 1)
        if columns * rows >= _FEWEST_BOXES and most <= room:
            height = min((high - (rows - 1) * _GAP) / rows, scale * _HIGH_BOX)
            if best is None or height > best[0]:
                best = (height, columns, rows, width)
        columns += 1
    return None if best is None else labelled("Your moves", layout.label, _grid(*best))


def _grid(height: float, columns: int, rows: int, width: float) -> Block:
    box = box_to_write_in(width, height)

    def draw(canvas: Canvas, x: float, top: float) -> None:
        for i in range(rows * columns):
            box.draw(canvas, x + i % columns * (width + _GAP), top - i // columns * (height + _GAP))

    return Block(rows * (height + _GAP) - _GAP, draw)


def _choice(options: Sequence[str], area: Area, layout: Layout) -> Block | None:
    """The options, each with a box to tick: in the largest type and the fewest columns that fit."""
    for size in layout.label_sizes:
        for columns in range(1, 1 + max(1, int(area.width / (13 * size)))):
            block = labelled("Tick one.", size, _options(options, size, columns, area.width))
            if block.height <= area.height:
                return block
    return None


def _options(options: Sequence[str], size: float, columns: int, width: float) -> Block:
    """The options down one column after the other."""
    gap = 0.5 * size
    column = (width - (columns - 1) * size) / columns
    blocks = [tick_line(option, size, column) for option in options]
    rows = -(-len(blocks) // columns)
    stacks = [blocks[i : i + rows] for i in range(0, len(blocks), rows)]
    height = max(sum(block.height + gap for block in stack) for stack in stacks)

    def draw(canvas: Canvas, x: float, top: float) -> None:
        for i, stack in enumerate(stacks):
            y = top - gap
            for block in stack:
                block.draw(canvas, x + i * (column + size), y)
                y -= block.height + gap

    return Block(height, draw)


def tick_line(text: str, size: float, width: float, *, ticked: bool = False, bold: bool = False) -> Block:
    """A box to tick, or ticked already, and wrapped words beside it."""
    side, indent = 1.15 * size, 1.7 * size
    lines = wrap(text, size, width - indent, bold=bold)
    name, box = f"tick-{round(size * 100)}-{ticked}", (0, 0, side, side)

    def draw(canvas: Canvas, x: float, top: float) -> None:
        stamp(canvas, name, box, lambda: _draw_tick_box(canvas, side, ticked=ticked), x, top - side)
        for i, line in enumerate(lines):
            draw_text(canvas, x + indent, top - 0.93 * size - i * 1.15 * size, line, size, bold=bold)

    return Block(max(side, (0.2 + 1.15 * len(lines)) * size), draw)


def _draw_tick_box(canvas: Canvas, side: float, *, ticked: bool) -> None:
    canvas.setLineWidth(1.1)
    canvas.rect(0.55, 0.55, side - 1.1, side - 1.1)
    if ticked:
        canvas.setLineWidth(0.17 * side)
        tick = canvas.beginPath()
        tick.moveTo(0.2 * side, 0.5 * side)
        tick.lineTo(0.42 * side, 0.27 * side)
        tick.lineTo(0.8 * side, 0.77 * side)
        canvas.drawPath(tick)


@lru_cache(maxsize=256)
def qr_modules(text: str) -> tuple[tuple[bool, ...], ...]:
    """The dark modules, row by row from the top, without the quiet zone.

    Error correction M: about 15 % of the symbol may be lost. Upper-case letters, digits
    and hyphens give the smallest symbol.
    """
    # Imported here because all that reportlab can draw comes with it, and delays whoever prints no sheet.
    from reportlab.graphics.barcode.qrencoder import QRCode, QRErrorCorrectLevel

    code = QRCode(None, QRErrorCorrectLevel.M)
    code.addData(text)
    code.make()
    return tuple(tuple(bool(module) for module in row) for row in code.modules)


def draw_qr(canvas: Canvas, text: str, x: float, y: float, size: float) -> None:
    """The symbol with its lower left corner at (x, y); leave four modules free around it."""
    rows = qr_modules(text)
    count = len(rows)

    def draw() -> None:
        for top, row in enumerate(rows):
            for start, end in dark_stretches(row):
                canvas.rect(start, count - 1 - top, end - start, 1, stroke=0, fill=1)

    stamp(canvas, f"qr-{text}", (0, 0, count, count), draw, x, y, size / count)


def dark_stretches(row: tuple[bool, ...]) -> list[tuple[int, int]]:
    """Dark stretches of a row as (start, end): fewer seams than single squares."""
    stretches: list[tuple[int, int]] = []
    for i, dark in enumerate(row):
        if dark and stretches and stretches[-1][1] == i:
            stretches[-1] = (stretches[-1][0], i + 1)
        elif dark:
            stretches.append((i, i + 1))
    return stretches

"""Places to write an answer in: a box for a number, boxes for moves, ticks for a choice.

Each place is a block that fits a given width and height. Measures in points.
"""

from collections.abc import Sequence

from reportlab.pdfgen.canvas import Canvas

from coachbook.model.exercise import Answer, AnswerForm, Exercise
from coachbook.paper.flow import Block, paragraph
from coachbook.paper.layout import Area, Layout
from coachbook.paper.page import MM
from coachbook.paper.stamp import stamp
from coachbook.paper.text import LEADING, draw_text, notated, wrap

_GAP = 3.0
# What a child's hand needs: lower or narrower boxes are no place to write a move in.
_LOWEST_BOX, _NARROWEST_BOX = 6.2 * MM, 17 * MM
_HIGH_BOX, _WIDE_BOX = 9 * MM, 45 * MM
# Who needs large print writes large.
_LARGE = 1.6
# In a box so wide, two moves find room.
_SHARED_BOX = 26 * MM
# Fewer boxes than that would tell how few moves are right; many more look as if all were to be filled.
_FEWEST_BOXES = 3


def answer_place(answer: Answer, area: Area, layout: Layout, men: str, most_moves: int) -> Block | None:
    """The place for an answer, or None if it would be too small to read or to write in.

    Where every right move is asked for there is room for `most_moves`, and for three at least.
    """
    if answer.form is AnswerForm.CHOICE:
        return _choice(tuple(notated(option, men) for option in answer.printed_options), area, layout)
    if answer.form is AnswerForm.SQUARES:
        return paragraph("Mark your answer on the board.", area.width, layout.label)
    if answer.form is AnswerForm.NUMBER:
        return _labelled(
            "How many?", layout.label, _box(min(area.width, 40 * MM), _roomy(area, layout, 15 * MM))
        )
    if not answer.all_needed:
        return _labelled(
            "Your move", layout.label, _box(min(area.width, _WIDE_BOX), _roomy(area, layout, 12 * MM))
        )
    return _moves(area, layout, most_moves)


def most_moves(items: Sequence[Exercise]) -> int:
    """The most moves that any item of a sheet asks for: one number for the sheet, so that the
    boxes of an item do not tell how many of its moves are right."""
    forms = (item.answer for item in items if item.answer.form is AnswerForm.MOVES and item.answer.all_needed)
    return max((len(answer.accepted) for answer in forms), default=0)


def _roomy(area: Area, layout: Layout, wanted: float) -> float:
    return min(wanted, area.height - layout.label * LEADING - 2)


def _moves(area: Area, layout: Layout, most: int) -> Block | None:
    """Boxes for moves in as many columns as make them high enough, or None."""
    scale = _LARGE if layout.large else 1.0
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
    return None if best is None else _labelled("Your moves", layout.label, _grid(*best))


def _grid(height: float, columns: int, rows: int, width: float) -> Block:
    box = _box(width, height)

    def draw(canvas: Canvas, x: float, top: float) -> None:
        for i in range(rows * columns):
            box.draw(canvas, x + i % columns * (width + _GAP), top - i // columns * (height + _GAP))

    return Block(rows * (height + _GAP) - _GAP, draw)


def _labelled(label: str, size: float, below: Block) -> Block:
    """A line of text with a block under it."""
    line = size * LEADING + 2

    def draw(canvas: Canvas, x: float, top: float) -> None:
        draw_text(canvas, x, top - size, label, size)
        below.draw(canvas, x, top - line)

    return Block(line + below.height, draw)


def _box(width: float, height: float) -> Block:
    """A rounded box to write in."""
    name, box = f"box-{round(width * 100)}-{round(height * 100)}", (0, 0, width, height)

    def outline(canvas: Canvas) -> None:
        canvas.setLineWidth(1.1)
        canvas.roundRect(0.55, 0.55, width - 1.1, height - 1.1, 5)

    return Block(
        height, lambda canvas, x, top: stamp(canvas, name, box, lambda: outline(canvas), x, top - height)
    )


def _choice(options: Sequence[str], area: Area, layout: Layout) -> Block | None:
    """The options, each with a box to tick: in the largest type and the fewest columns that fit."""
    for size in layout.label_sizes:
        for columns in range(1, 1 + max(1, int(area.width / (13 * size)))):
            block = _labelled("Tick one.", size, _options(options, size, columns, area.width))
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

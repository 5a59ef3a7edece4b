"""Boxes to write an answer in, and what stands above or beside them. All measures in points."""

from collections.abc import Sequence
from itertools import product
from operator import itemgetter

from reportlab.pdfgen.canvas import Canvas

from coachbook.paper.flow import Block
from coachbook.paper.page import MM, stamp
from coachbook.paper.text import LEADING, draw_text, text_width

_GAP = 5.0
_RACE = ("White", "Black", "First")
"""The moves of each side's pawn, and who queens first."""
# Room for a number or a single letter; a word needs the wider one.
_LOW, _HIGH, _NARROW, _WIDE = 6.2 * MM, 9 * MM, 10 * MM, 26 * MM
# A move in a line needs as much as any other move.
_MOVE, _LONG_MOVE = 17 * MM, 45 * MM


def box_to_write_in(width: float, height: float) -> Block:
    """A rounded box."""
    name, box = f"box-{round(width * 100)}-{round(height * 100)}", (0, 0, width, height)

    def outline(canvas: Canvas) -> None:
        canvas.setLineWidth(1.1)
        canvas.roundRect(0.55, 0.55, width - 1.1, height - 1.1, 5)

    return Block(
        height, lambda canvas, x, top: stamp(canvas, name, box, lambda: outline(canvas), x, top - height)
    )


def labelled(label: str, size: float, below: Block) -> Block:
    """A line of text with a block under it."""
    line = size * LEADING + 2

    def draw(canvas: Canvas, x: float, top: float) -> None:
        draw_text(canvas, x, top - size, label, size)
        below.draw(canvas, x, top - line)

    return Block(line + below.height, draw)


def race_boxes(width: float, height: float, size: float, scale: float) -> Block | None:
    """A box for each part of a race, its label before it: one under the other, or side by side where that is
    too high. None if there is no room for either. `scale` is how much larger than usual one writes."""
    label = max(text_width(f"{each} ", size) for each in _RACE)
    high = min((height - (len(_RACE) - 1) * _GAP) / len(_RACE), scale * _HIGH)
    wide = min(width - label, scale * _WIDE)
    if high >= scale * _LOW and wide >= scale * _NARROW:
        return _stacked([_before(each, size, label, box_to_write_in(wide, high)) for each in _RACE])
    high = min(height - size * LEADING - 2, scale * _HIGH)
    wide = min((width - (len(_RACE) - 1) * _GAP) / len(_RACE), scale * _WIDE)
    if high >= scale * _LOW and wide >= scale * _NARROW:
        return _in_a_row([labelled(each, size, box_to_write_in(wide, high)) for each in _RACE], wide)
    return None


def line_boxes(
    replies: Sequence[str], width: float, height: float, size: float, scale: float
) -> Block | None:
    """A numbered box for each move of a line, in as many columns as make them high enough, each with its
    reply beside it or under it; None if all of that is too low or too narrow. `scale` as in `race_boxes`."""
    count, number = len(replies) + 1, _number_width(size)
    high = height - size * LEADING - 2
    widest = max(text_width(reply, size) for reply in replies) + _GAP
    best: tuple[float, int, float, bool] | None = None
    for columns, under in product(range(1, count + 1), (False, True)):
        rows = -(-count // columns)
        beside = number + (0 if under else widest)
        wide = min((width - (columns - 1) * _GAP) / columns - beside, _LONG_MOVE)
        below = size * LEADING if under else 0
        tall = min((high - (rows - 1) * _GAP) / rows - below, scale * _HIGH)
        if wide >= scale * _MOVE and tall >= scale * _LOW:
            best = max(best or (0.0, 0, 0.0, False), (tall, columns, wide, under), key=itemgetter(0))
    return None if best is None else labelled("Your moves", size, _turns(replies, size, *best))


def _turns(
    replies: Sequence[str], size: float, height: float, columns: int, width: float, under: bool
) -> Block:
    """The boxes of a line with their numbers and replies."""
    box, number = box_to_write_in(width, height), _number_width(size)
    widest = 0.0 if under else max(text_width(reply, size) for reply in replies) + _GAP
    across, down = number + width + widest + _GAP, height + (size * LEADING if under else 0) + _GAP

    def draw(canvas: Canvas, x: float, top: float) -> None:
        for at, reply in enumerate((*replies, "")):
            left, y = x + at % columns * across, top - at // columns * down
            line = y - (height + 0.7 * size) / 2
            draw_text(canvas, left, line, f"{at + 1}.", size, bold=True)
            box.draw(canvas, left + number, y)
            if under:
                draw_text(canvas, left + number, y - height - size, reply, size)
            else:
                draw_text(canvas, left + number + width + _GAP, line, reply, size)

    return Block(-(-(len(replies) + 1) // columns) * down - _GAP, draw)


def _number_width(size: float) -> float:
    return text_width("1.", size, bold=True) + 1.5 * _GAP


def _before(label: str, size: float, indent: float, box: Block) -> Block:
    def draw(canvas: Canvas, x: float, top: float) -> None:
        draw_text(canvas, x, top - box.height / 2 - 0.35 * size, label, size)
        box.draw(canvas, x + indent, top)

    return Block(box.height, draw)


def _stacked(blocks: Sequence[Block]) -> Block:
    def draw(canvas: Canvas, x: float, top: float) -> None:
        for block in blocks:
            block.draw(canvas, x, top)
            top -= block.height + _GAP

    return Block(sum(block.height + _GAP for block in blocks) - _GAP, draw)


def _in_a_row(blocks: Sequence[Block], width: float) -> Block:
    def draw(canvas: Canvas, x: float, top: float) -> None:
        for place, block in enumerate(blocks):
            block.draw(canvas, x + place * (width + _GAP), top)

    return Block(max(block.height for block in blocks), draw)

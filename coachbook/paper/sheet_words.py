"""The frame on a worksheet that says what its words mean, and has the rules that a task says to read."""

from collections.abc import Sequence
from dataclasses import replace

from reportlab.pdfgen.canvas import Canvas

from coachbook.model.worksheet import Worksheet
from coachbook.paper.flow import Block, draw_blocks, height_of, label_width, paragraph, space
from coachbook.paper.page import MM

_PADDING, _GUTTER = 6.0, 6 * MM
_RADIUS, _LINE = 5.0, 0.8
_Column = tuple[float, Sequence[Block]]
"""From where on, within the frame, and what stands there."""
# A line longer than that, in type sizes, is hard to follow: there are two columns then.
_LONG_LINE = 36
_BETWEEN, _LEADING = 2.5, 1.2


def words_frame(sheet: Worksheet, width: float, size: float) -> Block:
    """The frame, so wide and in type of this size, of a sheet that has words or cards."""
    inner = width - 2 * _PADDING
    if inner <= _LONG_LINE * size or len(sheet.words) + sum(len(card.rules) for card in sheet.cards) < 2:
        return _framed([(0, _told(sheet, inner, size))], width)
    column = (inner - _GUTTER) / 2
    left, right = _in_two(_told(sheet, column, size))
    return _framed([(0, left), (column + _GUTTER, right)], width)


def _framed(columns: Sequence[_Column], width: float) -> Block:
    """Columns side by side in a frame."""
    inner = max(height_of(blocks) for _, blocks in columns)
    height = inner + 2 * _PADDING

    def draw(canvas: Canvas, x: float, top: float) -> None:
        draw_frame(canvas, x, top - height, width, height)
        for start, blocks in columns:
            draw_blocks(canvas, blocks, x + _PADDING + start, top - _PADDING)

    return Block(height, draw)


def draw_frame(canvas: Canvas, x: float, y: float, width: float, height: float) -> None:
    """A thin frame with round corners around what helps."""
    canvas.setLineWidth(_LINE)
    canvas.roundRect(x + _LINE / 2, y + _LINE / 2, width - _LINE, height - _LINE, _RADIUS)


def _told(sheet: Worksheet, width: float, size: float) -> list[Block]:
    blocks: list[Block] = []
    if sheet.words:
        blocks += [_heading("What the words mean", width, size)]
        for words in sheet.words:
            blocks += [_kept(paragraph(words, width, size, leading=_LEADING)), space(_BETWEEN)]
    for card in sheet.cards:
        blocks += [_heading(f"The rules: {card.title}", width, size)]
        indent = label_width([f"{number}" for number, _ in card.rules], size)
        for number, rule in card.rules:
            line = paragraph(rule, width, size, label=f"{number}", indent=indent, leading=_LEADING)
            blocks += [_kept(line), space(_BETWEEN)]
    return blocks[:-1]


def _heading(text: str, width: float, size: float) -> Block:
    return _kept(paragraph(text, width, size, bold=True))


def _kept(block: Block) -> Block:
    """No column ends with it."""
    return replace(block, keep_next=True)


def _in_two(blocks: Sequence[Block]) -> tuple[Sequence[Block], Sequence[Block]]:
    """Two columns, the taller one as low as can be."""
    cuts = [at for at in range(1, len(blocks)) if not blocks[at - 1].keep_next]
    cut = min(cuts, key=lambda at: max(height_of(blocks[:at]), height_of(blocks[at:])))
    return blocks[:cut], blocks[cut:]

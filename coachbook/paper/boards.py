"""A row of small diagrams with captions, as one block."""

from collections.abc import Sequence

from reportlab.pdfgen.canvas import Canvas

from coachbook.model.marks import Marks
from coachbook.model.position import Position
from coachbook.paper.diagram import RIM, draw_diagram
from coachbook.paper.flow import Block, paragraph
from coachbook.paper.page import MM
from coachbook.paper.text import notated

CaptionedBoard = tuple[Position, Marks, str]
_LARGEST = 36 * MM
_GAP = 4 * MM
_CAPTION = 9.0


def board_row(
    boards: Sequence[CaptionedBoard],
    columns: int,
    width: float,
    men: str,
    largest: float = _LARGEST,
) -> Block:
    """At most `columns` boards side by side, as large as the width allows, captions below."""
    size = min(largest, (width - (columns - 1) * _GAP) / columns - RIM)
    captions = [paragraph(notated(text, men), size, _CAPTION) for _, _, text in boards]
    caption_height = max((caption.height for caption in captions), default=0)

    def draw(canvas: Canvas, x: float, top: float) -> None:
        for i, (position, marks, _) in enumerate(boards):
            left = x + i * (size + RIM + _GAP) + RIM
            draw_diagram(canvas, position, marks, left, top - size, size)
            captions[i].draw(canvas, left, top - size - RIM - 2)

    return Block(size + RIM + 4 + caption_height, draw)

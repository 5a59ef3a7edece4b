"""Blocks that flow down a column and over pages. Measures in points."""

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass

from reportlab.pdfgen.canvas import Canvas

from coachbook.paper.page import BODY
from coachbook.paper.text import LEADING, draw_text, text_width, wrap

Draw = Callable[[Canvas, float, float], None]


@dataclass(frozen=True, slots=True)
class Block:
    """Something of a known height. `draw` gets the canvas, the left edge and the top edge.

    With `keep_next` it never ends a page: it moves with the block below it.
    """

    height: float
    draw: Draw
    keep_next: bool = False


def paginate(blocks: Iterable[Block], height: float) -> list[list[Block]]:
    """Blocks by page, in order, none cut; a chain of blocks kept together moves as one.

    A chain higher than a page is let go at its last block.
    """
    pages: list[list[Block]] = [[]]
    for chain in _chains(blocks):
        used = sum(block.height for block in pages[-1])
        needed = sum(block.height for block in chain)
        if pages[-1] and used + needed > height:
            pages.append([])
        for block in chain:
            if pages[-1] and sum(b.height for b in pages[-1]) + block.height > height:
                pages.append([])
            pages[-1].append(block)
    return pages


def draw_blocks(canvas: Canvas, blocks: Sequence[Block], x: float, top: float) -> None:
    """One below the other."""
    for block in blocks:
        block.draw(canvas, x, top)
        top -= block.height


def stack(blocks: Sequence[Block]) -> Block:
    """Several blocks as one that is never cut."""
    return Block(
        sum(block.height for block in blocks), lambda canvas, x, top: draw_blocks(canvas, blocks, x, top)
    )


def space(height: float, *, keep_next: bool = False) -> Block:
    """Nothing, so high."""
    return Block(height, lambda _canvas, _x, _top: None, keep_next)


def paragraph(
    text: str,
    width: float,
    size: float = BODY,
    *,
    bold: bool = False,
    label: str = "",
    indent: float = 0,
    leading: float = LEADING,
) -> Block:
    """Wrapped text, `indent` from the left; a short `label` (a number, a dash) hangs before it.

    `leading` is from baseline to baseline, as a share of the size.
    """
    lines = wrap(text, size, width - indent, bold=bold)
    pitch = size * leading

    def draw(canvas: Canvas, x: float, top: float) -> None:
        if label:
            draw_text(canvas, x, top - size, label, size, bold=True)
        for i, line in enumerate(lines):
            draw_text(canvas, x + indent, top - size - i * pitch, line, size, bold=bold)

    return Block(len(lines) * pitch, draw)


def headed(
    head: str,
    text: str,
    width: float,
    size: float = BODY,
    *,
    label: str = "",
    indent: float = 0,
    leading: float = LEADING,
) -> Block:
    """A paragraph that begins with a few words in bold, on one line; with none it is a plain one."""
    if not head:
        return paragraph(text, width, size, label=label, indent=indent, leading=leading)
    before = text_width(f"{head} ", size, bold=True)
    beside, words = "", text.split()
    while words and text_width(longer := f"{beside} {words[0]}".strip(), size) <= width - indent - before:
        beside = longer
        words.pop(0)
    rest = paragraph(" ".join(words), width, size, indent=indent, leading=leading)
    pitch = size * leading

    def draw(canvas: Canvas, x: float, top: float) -> None:
        draw_text(canvas, x, top - size, label, size, bold=True)
        draw_text(canvas, x + indent, top - size, f"{head} ", size, bold=True)
        draw_text(canvas, x + indent + before, top - size, beside, size)
        rest.draw(canvas, x, top - pitch)

    return Block(pitch + (rest.height if words else 0), draw)


def label_width(labels: Iterable[str], size: float = BODY) -> float:
    """Room for the widest of these hanging labels and a gap."""
    return max((text_width(label, size, bold=True) for label in labels), default=0) + 0.6 * size


def _chains(blocks: Iterable[Block]) -> list[list[Block]]:
    chains: list[list[Block]] = []
    going_on = False
    for block in blocks:
        if going_on:
            chains[-1].append(block)
        else:
            chains.append([block])
        going_on = block.keep_next
    return chains

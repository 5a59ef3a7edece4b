"""Blocks that flow down a column and over pages: text, rows of diagrams, written plans."""

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass

from reportlab.pdfgen.canvas import Canvas

from coachbook.model.position import Marks, Position
from coachbook.model.worksheet import Plan, PlanStep
from coachbook.paper.diagram import RIM, draw_diagram
from coachbook.paper.page import BODY, MM, draw_rule
from coachbook.paper.text import LEADING, draw_right, draw_text, notated, text_width, wrap
from coachbook.wording.exercises import step_in_words

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
        if pages[-1] and height_of(pages[-1]) + height_of(chain) > height:
            pages.append([])
        for block in chain:
            if pages[-1] and height_of(pages[-1]) + block.height > height:
                pages.append([])
            pages[-1].append(block)
    return pages


def draw_blocks(canvas: Canvas, blocks: Sequence[Block], x: float, top: float) -> None:
    """One below the other."""
    for block in blocks:
        block.draw(canvas, x, top)
        top -= block.height


def height_of(blocks: Iterable[Block]) -> float:
    """Of all of them, one below the other."""
    return sum(block.height for block in blocks)


def stack(blocks: Sequence[Block]) -> Block:
    """Several blocks as one that is never cut."""
    return Block(height_of(blocks), lambda canvas, x, top: draw_blocks(canvas, blocks, x, top))


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


PLAN_SIZE = 9.5
_NUMBER, _MOVE, _REPLY = 13.0, 44.0, 36.0


def plan_head(plan: Plan, width: float, size: float = PLAN_SIZE) -> Block:
    """The column headings with the colours of the mover and the other side, and a rule."""
    mover, other = ("White", "Black") if plan.start.white_to_move else ("Black", "White")

    def draw(canvas: Canvas, x: float, top: float) -> None:
        y = top - size
        draw_text(canvas, x + _NUMBER + 5, y, mover, size - 1)
        draw_text(canvas, x + _NUMBER + 5 + _MOVE, y, other, size - 1)
        draw_text(canvas, x + _NUMBER + 5 + _MOVE + _REPLY, y, "Why", size - 1)
        draw_rule(canvas, x, x + width, y - 3, 0.5)

    return Block(size * LEADING + 4, draw)


def plan_rows(steps: Sequence[PlanStep], width: float, men: str, size: float = PLAN_SIZE) -> list[Block]:
    """One block for each step, as high as its words need."""
    return [_row(i, step, width, men, size) for i, step in enumerate(steps, start=1)]


def _row(number: int, step: PlanStep, width: float, men: str, size: float) -> Block:
    before = _NUMBER + 5 + _MOVE + _REPLY
    words = paragraph(notated(step_in_words(step), men), width - before, size)
    move, reply = notated(step.move, men), notated(step.reply, men)

    def draw(canvas: Canvas, x: float, top: float) -> None:
        y = top - size
        draw_right(canvas, x + _NUMBER, y, f"{number}", size)
        draw_text(canvas, x + _NUMBER + 5, y, move, size, bold=True)
        draw_text(canvas, x + _NUMBER + 5 + _MOVE, y, reply, size)
        words.draw(canvas, x + before, top)

    return Block(words.height + 1, draw)


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

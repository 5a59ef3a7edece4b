"""Reports of several sections that flow over pages, and the tables in them.

A section that goes on over a page says so and repeats the heads of its table. Measures in points.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from reportlab.pdfgen.canvas import Canvas

from coachbook.model.print_options import PaperOptions
from coachbook.model.printed import FrequentSlip
from coachbook.paper.flow import Block, draw_blocks, paragraph, space, stack
from coachbook.paper.page import MM, Frame, draw_footer, draw_heading, draw_rule, frame_of, pdf_of

_HEADING = 18 * MM
_FOOTER = 9 * MM
_SECTION_GAP = 12.0
_COLUMN_GAP = 3 * MM
_PAD = 1.7
_HEAD_SIZE = 8.5


@dataclass(frozen=True, slots=True)
class Section:
    """Blocks under a title (or none), with the heads of their columns if they are a table."""

    title: str
    blocks: Sequence[Block]
    head: Block | None = None


@dataclass(frozen=True, slots=True)
class Running:
    """What stands on every page: above, a text left and right and the title; below, a text at the right."""

    left: str
    right: str
    title: str
    foot: str


@dataclass(frozen=True, slots=True)
class Columns:
    """The columns of a table: the words at their heads and their widths, gaps not counted."""

    heads: tuple[str, ...]
    widths: tuple[float, ...]

    @property
    def width(self) -> float:
        return sum(self.widths) + _COLUMN_GAP * (len(self.widths) - 1)

    def head(self) -> Block:
        """The heads over a strong rule."""
        return self.row(self.heads, _HEAD_SIZE, rule=1.2)

    def row(self, cells: Sequence[str | Block], size: float = 9.5, *, rule: float = 0.4) -> Block:
        """One row over a rule; words are wrapped to their column."""
        blocks = [
            cell if isinstance(cell, Block) else paragraph(cell, width, size)
            for cell, width in zip(cells, self.widths, strict=True)
        ]
        return self._side_by_side(blocks, rule)

    def _side_by_side(self, cells: Sequence[Block], rule: float) -> Block:
        height = max(cell.height for cell in cells) + 2 * _PAD

        def draw(canvas: Canvas, x: float, top: float) -> None:
            left = x
            for cell, width in zip(cells, self.widths, strict=True):
                cell.draw(canvas, left, top - _PAD)
                left += width + _COLUMN_GAP
            draw_rule(canvas, x, x + self.width, top - height, rule)

        return Block(height, draw)


def columns(total: float, *heads: tuple[str, float]) -> Columns:
    """Columns by head and width; those of width 0 share what is left of `total`."""
    rest = total - sum(width for _, width in heads) - _COLUMN_GAP * (len(heads) - 1)
    share = rest / max(1, sum(not width for _, width in heads))
    return Columns(tuple(head for head, _ in heads), tuple(width or share for _, width in heads))


def body_height(frame: Frame) -> float:
    """What a page offers to sections."""
    return frame.top - frame.bottom - _HEADING - _FOOTER


def sections_pdf(options: PaperOptions, running: Running, sections: Iterable[Section]) -> bytes:
    """The sections that are not empty, as a PDF."""
    frame = frame_of(options.size)
    pages = paginate_sections([section for section in sections if section.blocks], body_height(frame))

    def draw(canvas: Canvas) -> None:
        for number, blocks in enumerate(pages, start=1):
            draw_heading(canvas, frame, running.left, running.right, running.title)
            draw_blocks(canvas, blocks, frame.left, frame.top - _HEADING)
            draw_footer(canvas, frame, running.left, f"page {number} of {len(pages)}", running.foot)
            canvas.showPage()

    return pdf_of(options.size, running.title, draw)


def paginate_sections(sections: Iterable[Section], height: float) -> list[list[Block]]:
    """The blocks of each page, in order. A section begins where its first block fits below its title."""
    pages: list[list[Block]] = [[]]
    left = height
    for section in sections:
        opening = _opening(section.title, section.head, gap=left < height)
        for block in section.blocks:
            need = block.height + (opening.height if opening else 0)
            if need > left and left < height:
                pages.append([])
                left = height
                title = section.title if opening else f"{section.title}, continued"
                opening = _opening(title if section.title else "", section.head, gap=False)
            added = [opening, block] if opening else [block]
            pages[-1] += added
            left -= sum(one.height for one in added)
            opening = None
    return pages


def _opening(title: str, head: Block | None, *, gap: bool) -> Block | None:
    """A section's title and the heads of its table, with air above unless it begins a page."""
    parts = [space(_SECTION_GAP)] if gap else []
    if title:
        parts += [paragraph(title, 400, 12, bold=True), space(2)]
    if head:
        parts.append(head)
    return stack(parts) if parts else None


def slip_section(title: str, slips: Sequence[FrequentSlip], width: float) -> Section:
    """The most frequent slips, each with the units in which it happened; nothing if there was none."""
    table = columns(width, ("Slip", 58 * MM), ("Units", 0))
    rows = [table.row((slip.told, ", ".join(slip.units))) for slip in slips]
    return Section(title, rows, table.head())

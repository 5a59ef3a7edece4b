"""The wall plan: the whole term in one table, to pin up."""

from collections.abc import Mapping, Sequence
from pathlib import Path

from reportlab.pdfgen.canvas import Canvas

from coachbook.model.term import PlannedSession, SlotKind, TermPlan
from coachbook.paper.flow import Block, draw_blocks, paginate, paragraph, space, stack
from coachbook.paper.options import PaperOptions
from coachbook.paper.page import (
    BODY,
    MM,
    day_in_words,
    draw_footer,
    draw_heading,
    draw_rule,
    frame_of,
    short_day,
    write_pdf,
)

_HEADING = 20 * MM
_FOOTER = 9 * MM
_TEXT = 10.5
_DATE_WIDTH = 27 * MM
_COLUMN_GAP = 4 * MM
_PAD = 4.5
_KINDS = (SlotKind.REVIEW, SlotKind.NEW, SlotKind.PRACTICE)


def write_term(
    plan: TermPlan, unit_titles: Mapping[str, str], club: str, group: str, path: Path, options: PaperOptions
) -> None:
    """Print the plan of a group's term; `unit_titles` gives the titles of unit codes.

    A unit without a title is printed by its code. Raises CoachbookError if the file cannot
    be written.
    """
    frame = frame_of(options.size)
    column = (frame.width - _DATE_WIDTH - 3 * _COLUMN_GAP) / 3
    rows = [_session_row(session, unit_titles, column, frame.width) for session in plan.sessions]
    rows += _left_over(plan, unit_titles, frame.width)
    head = _column_heads(column, frame.width)
    pages = paginate(rows, frame.top - _HEADING - frame.bottom - _FOOTER - head.height)

    span = f"{day_in_words(plan.starts_on)} to {day_in_words(plan.ends_on)}"
    title = f"Term plan: {group}" if group else "Term plan"

    def draw(canvas: Canvas) -> None:
        for number, blocks in enumerate(pages, start=1):
            draw_heading(canvas, frame, club, span, title)
            draw_blocks(canvas, [head, *blocks], frame.left, frame.top - _HEADING)
            draw_footer(canvas, frame, club, f"page {number} of {len(pages)}", group)
            canvas.showPage()

    write_pdf(path, options.size, f"Term plan: {group}", draw)


def _session_row(session: PlannedSession, titles: Mapping[str, str], column: float, width: float) -> Block:
    cells = [paragraph(short_day(session.on), _DATE_WIDTH, _TEXT, bold=True)]
    cells += [stack(_slots(session, kind, titles, column)) for kind in _KINDS]
    return _table_row(cells, column, width, rule=0.5)


def _slots(session: PlannedSession, kind: SlotKind, titles: Mapping[str, str], column: float) -> list[Block]:
    """The slots of one kind, each with its minutes; the new unit in bold."""
    return [
        paragraph(
            f"{titles.get(slot.unit, slot.unit) or 'Mixed'}, {slot.minutes}\N{NO-BREAK SPACE}min",
            column,
            _TEXT,
            bold=kind is SlotKind.NEW,
        )
        for slot in session.slots
        if slot.kind is kind
    ]


def _column_heads(column: float, width: float) -> Block:
    cells = [paragraph("Date", _DATE_WIDTH, BODY)]
    cells += [paragraph(kind.value.capitalize(), column, BODY) for kind in _KINDS]
    return _table_row(cells, column, width, rule=1.2)


def _table_row(cells: Sequence[Block], column: float, width: float, rule: float) -> Block:
    """Cells side by side (the first one as wide as a date) with a rule below."""
    height = max(cell.height for cell in cells) + 2 * _PAD

    def draw(canvas: Canvas, x: float, top: float) -> None:
        left = x
        for cell in cells:
            cell.draw(canvas, left, top - _PAD)
            left += (_DATE_WIDTH if cell is cells[0] else column) + _COLUMN_GAP
        draw_rule(canvas, x, x + width, top - height, rule)

    return Block(height, draw)


def _left_over(plan: TermPlan, titles: Mapping[str, str], width: float) -> list[Block]:
    if not plan.left_over:
        return []
    names = ", ".join(titles.get(code, code) for code in plan.left_over)
    return [stack([space(8), paragraph(f"No room this term for: {names}.", width, _TEXT)])]

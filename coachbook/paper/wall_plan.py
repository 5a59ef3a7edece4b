"""The wall plan: the whole term in one table to pin up, and the groups that share a hall side by side."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date

from reportlab.pdfgen.canvas import Canvas

from coachbook.model.print_options import PaperOptions
from coachbook.model.term_plan import PlannedSession, SlotKind, TermPlan, learning_together
from coachbook.paper.flow import Block, draw_blocks, paginate, paragraph, space, stack
from coachbook.paper.page import BODY, MM, draw_footer, draw_heading, draw_rule, frame_of, pdf_of
from coachbook.wording.counting import day_in_words, short_day
from coachbook.wording.plans import shortfall_in_words, topic_of_slot
from coachbook.wording.term_lines import slot_in_company, time_of_slot

_HEADING = 20 * MM
_FOOTER = 9 * MM
_TEXT = 10.0
DATE_WIDTH = 21 * MM
_REVIEW_WIDTH = 12 * MM
_MINUTES_WIDTH = 7 * MM
COLUMN_GAP = 3 * MM
_PAD, _LOW_PAD = 4.5, 2.0

NO_CLUB = "No club"
"""What stands at a day of the term without an evening."""
_MOST_NAMED = 5
_COLUMNS: dict[str, tuple[SlotKind, ...]] = {
    "Review": (SlotKind.REVIEW,),
    "New": (SlotKind.NEW, SlotKind.ASSESSMENT),
    "Practice": (SlotKind.PRACTICE,),
    "Play-outs": (SlotKind.PLAY_OUT,),
}


def term_pdf(
    plan: TermPlan, unit_titles: Mapping[str, str], club: str, group: str, options: PaperOptions
) -> bytes:
    """The plan of a group's term as a PDF; `unit_titles` gives the titles of unit codes.

    A unit without a title is printed by its code; the minutes to spare are not printed, days without club
    are.
    """
    frame = frame_of(options.size)
    wide = len(_COLUMNS) - 1
    column = (frame.width - DATE_WIDTH - _REVIEW_WIDTH - (wide + 1) * COLUMN_GAP) / wide
    widths = (DATE_WIDTH, _REVIEW_WIDTH, *(column for _ in range(wide)))
    evenings = [
        (session.on, table_row(_cells(session, unit_titles, widths), widths, 0.5))
        for session in plan.sessions
    ]
    rows = with_days_off(evenings, plan.days_off, frame.width)
    rows += left_over(plan, unit_titles, frame.width)
    head = table_row(
        [paragraph(name, width, BODY) for name, width in zip(("Date", *_COLUMNS), widths, strict=True)],
        widths,
        1.2,
    )
    title = f"Term plan: {group}" if group else "Term plan"
    return wall_pdf(options, head, rows, WallHeading(club, span_of(plan), title, evening_of(plan), group))


@dataclass(frozen=True, slots=True)
class WallHeading:
    """What stands around the table on every page."""

    club: str
    span: str
    title: str
    corner: str
    foot: str


def wall_pdf(options: PaperOptions, head: Block, rows: Sequence[Block], heading: WallHeading) -> bytes:
    """A table whose head returns on every page, as a PDF."""
    frame = frame_of(options.size)
    pages = paginate(rows, frame.top - _HEADING - frame.bottom - _FOOTER - head.height)

    def draw(canvas: Canvas) -> None:
        for number, blocks in enumerate(pages, start=1):
            draw_heading(canvas, frame, heading.club, heading.span, heading.title, corner=heading.corner)
            draw_blocks(canvas, [head, *blocks], frame.left, frame.top - _HEADING)
            draw_footer(canvas, frame, heading.club, f"page {number} of {len(pages)}", heading.foot)
            canvas.showPage()

    return pdf_of(options.size, heading.title, draw)


def table_row(cells: Sequence[Block], widths: Sequence[float], rule: float, *, pad: float = _PAD) -> Block:
    """Cells side by side, with air above and below and a rule at the foot."""
    height = max(cell.height for cell in cells) + 2 * pad

    def draw(canvas: Canvas, x: float, top: float) -> None:
        left = x
        for cell, width in zip(cells, widths, strict=True):
            cell.draw(canvas, left, top - pad)
            left += width + COLUMN_GAP
        draw_rule(canvas, x, left - COLUMN_GAP, top - height, rule)

    return Block(height, draw)


def with_days_off(evenings: Sequence[tuple[date, Block]], off: Sequence[date], width: float) -> list[Block]:
    """The rows of evenings by date, between them a low one for each day without club."""
    widths = (DATE_WIDTH, width - DATE_WIDTH - COLUMN_GAP)
    rows = [
        *evenings,
        *(
            (
                day,
                table_row(
                    [paragraph(short_day(day), DATE_WIDTH, _TEXT), paragraph(NO_CLUB, widths[1], _TEXT)],
                    widths,
                    0.5,
                    pad=_LOW_PAD,
                ),
            )
            for day in off
        ),
    ]
    return [row for _, row in sorted(rows, key=lambda row: row[0])]


def span_of(*plans: TermPlan) -> str:
    """From when to when, of at least one plan."""
    starts_on, ends_on = min(plan.starts_on for plan in plans), max(plan.ends_on for plan in plans)
    return f"{day_in_words(starts_on)} to {day_in_words(ends_on)}"


def evening_of(plan: TermPlan) -> str:
    """When an evening starts, if that is known, and how long it is."""
    return f"{plan.at}, {plan.minutes} min" if plan.at else f"{plan.minutes} min"


def left_over(plan: TermPlan, titles: Mapping[str, str], width: float, group: str = "") -> list[Block]:
    """What did not fit, and how many more evenings it would take; of which `group`, if it is named."""
    missing = plan.left_over if plan.goal is None else [each.unit for each in plan.shortfalls]
    if not missing:
        return []
    names = ", ".join(titles.get(code, code) for code in missing[:_MOST_NAMED])
    names += f" and {len(missing) - _MOST_NAMED} more" if len(missing) > _MOST_NAMED else ""
    whose = f" ({group})" if group else ""
    lines = [f"No room this term{whose} for: {names}."]
    lines += [shortfall_in_words(short, titles) for short in plan.shortfalls]
    return [stack([space(8), *(paragraph(line, width, _TEXT) for line in lines)])]


def _cells(session: PlannedSession, titles: Mapping[str, str], widths: Sequence[float]) -> list[Block]:
    date = paragraph(short_day(session.on), widths[0], _TEXT, bold=True)
    kinds_and_widths = zip(_COLUMNS.values(), widths[1:], strict=True)
    return [date, *(stack(_slots(session, kinds, titles, width)) for kinds, width in kinds_and_widths)]


def _slots(
    session: PlannedSession, kinds: Sequence[SlotKind], titles: Mapping[str, str], column: float
) -> list[Block]:
    """The slots of these kinds, their minutes hanging before them; what is new, and assessments, in bold."""
    return [
        paragraph(
            "" if slot.kind is SlotKind.REVIEW else topic_of_slot(slot, titles),
            column,
            _TEXT,
            bold=slot.kind in (SlotKind.NEW, SlotKind.ASSESSMENT),
            label=f"{slot.minutes}\N{PRIME}",
            indent=_MINUTES_WIDTH,
        )
        for slot in session.slots
        if slot.kind in kinds
    ]


_TIME_WIDTH = 11 * MM


def hall_pdf(
    plans: Mapping[str, TermPlan],
    unit_titles: Mapping[str, str],
    club: str,
    options: PaperOptions,
) -> bytes:
    """The plans of groups (at least one) beside each other, as a PDF; bold is what needs the coach."""
    frame = frame_of(options.size)
    column = (frame.width - DATE_WIDTH - len(plans) * COLUMN_GAP) / len(plans)
    widths = (DATE_WIDTH, *(column for _ in plans))
    head = table_row(
        [
            paragraph("Date", DATE_WIDTH, BODY),
            *(paragraph(group, column, BODY, bold=True) for group in plans),
        ],
        widths,
        1.2,
    )
    dates = _dates(plans)
    evenings = [
        (on, table_row(_cells_side_by_side(on, plans, unit_titles, column), widths, 0.5)) for on in dates
    ]
    off = sorted({day for plan in plans.values() for day in plan.days_off}.difference(dates))
    rows = with_days_off(evenings, off, frame.width)
    rows.append(stack([space(6), paragraph("In bold: with the coach.", frame.width, BODY)]))
    for group, plan in plans.items():
        rows += left_over(plan, unit_titles, frame.width, group)
    title = f"Term plan: {', '.join(plans)}"
    times = {evening_of(plan) for plan in plans.values()}
    corner = times.pop() if len(times) == 1 else ""
    return wall_pdf(options, head, rows, WallHeading(club, span_of(*plans.values()), title, corner, ""))


def _dates(plans: Mapping[str, TermPlan]) -> list[date]:
    return sorted({session.on for plan in plans.values() for session in plan.sessions})


def _cells_side_by_side(
    on: date, plans: Mapping[str, TermPlan], titles: Mapping[str, str], column: float
) -> list[Block]:
    cells = [paragraph(short_day(on), DATE_WIDTH, _TEXT, bold=True)]
    sessions = {group: plan.session_on(on) for group, plan in plans.items()}
    together = learning_together({group: (each,) for group, each in sessions.items() if each is not None})
    for group, session in sessions.items():
        others = {start: those for (whose, _, start), those in together.items() if whose == group}
        at = plans[group].at
        cells.append(stack(_slots_by_the_clock(session, others, at, titles, column) if session else []))
    return cells


def _slots_by_the_clock(
    session: PlannedSession,
    together: Mapping[int, Sequence[str]],
    at: str,
    titles: Mapping[str, str],
    column: float,
) -> list[Block]:
    """One paragraph for each slot but the minutes to spare, its time hanging before it; what is explained to
    others at once, too, says to whom (`together`, by the minute)."""
    return [
        paragraph(
            slot_in_company(slot, together.get(start, ()), titles),
            column,
            _TEXT,
            bold=slot.with_coach,
            label=time_of_slot(at, start),
            indent=_TIME_WIDTH,
        )
        for start, slot in session.timed
        if slot.kind is not SlotKind.BUFFER
    ]

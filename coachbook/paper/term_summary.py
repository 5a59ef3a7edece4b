"""The term in numbers, for a committee: no name is on it."""

from collections.abc import Sequence

from reportlab.pdfgen.canvas import Canvas

from coachbook.model.print_options import PaperOptions
from coachbook.model.printed import TermSummary, UnitFigures
from coachbook.model.progress import Standing
from coachbook.paper.flow import Block, paragraph, space, stack
from coachbook.paper.page import MM, frame_of
from coachbook.paper.sections import Columns, Running, Section, columns, sections_pdf, slip_section
from coachbook.paper.standing_pattern import fill_with
from coachbook.paper.text import draw_fitted, draw_text
from coachbook.wording.counting import day_in_words, plural

_FIGURE, _CAPTION = 20.0, 9.0
_BAR, _BAR_HEIGHT = 44 * MM, 7.5
_ROW = 9.0
_READING = (
    "Numbers of students. A unit is secure for a student by the rule that the syllabus sets for it."
    " Before: as the term began. Now: as it ended. In the bars, black is secure now, hatched is begun,"
    " and the whole frame is every student."
)


def term_summary_pdf(summary: TermSummary, options: PaperOptions) -> bytes:
    """The summary as a PDF, on one page if it fits."""
    frame = frame_of(options.size)
    span = f"{day_in_words(summary.starts_on)} to {day_in_words(summary.ends_on)}"
    table = unit_columns(frame.width)
    units = _unit_rows(summary, table) or [paragraph("There is no unit yet.", frame.width)]
    sections = [
        Section("", _figures(summary, frame.width)),
        Section("Unit by unit", units, table.head() if summary.units else None),
        slip_section("What went wrong most", summary.slips, frame.width),
    ]
    return sections_pdf(options, Running(summary.club, span, "The term in numbers", "no names"), sections)


def share_in_words(part: int, whole: int) -> str:
    """Such as "241 of 286 (84 %)", or "none" of none."""
    return f"{part:,} of {whole:,} ({100 * part / whole:.0f} %)" if whole else "none"


def unit_columns(width: float) -> Columns:
    return columns(
        width,
        ("Level", 9 * MM),
        ("Unit", 0),
        ("Secure before", 20 * MM),
        ("Now", 10 * MM),
        ("Begun", 10 * MM),
        ("Of all students", _BAR),
        ("Answers right", 24 * MM),
    )


def _figures(summary: TermSummary, width: float) -> list[Block]:
    """The large numbers in two rows. The students are all of the book: one who left a group has answers in
    these figures, too."""
    tiles = [
        (f"{summary.students:,}", f"{plural(summary.students, 'student')}, in a group or not"),
        (f"{summary.groups:,}", plural(summary.groups, "group")),
        (f"{summary.evenings:,}", plural(summary.evenings, "evening")),
        (f"{summary.play_outs:,}", f"{plural(summary.play_outs, 'game')} played out"),
    ]
    shares = [
        (share_in_words(summary.present, summary.expected), "there, of all expected"),
        (share_in_words(summary.right, summary.tried), f"{plural(summary.tried, 'answer')} right"),
        (
            share_in_words(summary.play_outs_within, summary.play_outs),
            f"{plural(summary.play_outs, 'game')} played out within the moves allowed",
        ),
    ]
    return [stack([_tiles(tiles, width, _FIGURE), _tiles(shares, width, 14.0)])]


def _tiles(tiles: Sequence[tuple[str, str]], width: float, size: float) -> Block:
    """Numbers side by side, each over its caption."""
    tile = width / len(tiles)

    def draw(canvas: Canvas, x: float, top: float) -> None:
        for i, (number, caption) in enumerate(tiles):
            draw_text(canvas, x + i * tile, top - size, number, size, bold=True)
            draw_fitted(canvas, x + i * tile, top - size - 13, caption, _CAPTION, tile - 8)

    return Block(size + 24, draw)


def _unit_rows(summary: TermSummary, table: Columns) -> list[Block]:
    """The units that were begun, a level's number beside its first; then how many were not, and a note."""
    rows, level, units = [], None, len(summary.units)
    begun = [unit for unit in summary.units if unit.begun]
    for unit in begun:
        rows.append(_unit_row(unit, str(unit.level) if unit.level != level else "", summary.students, table))
        level = unit.level
    words = [_READING] if begun else []
    if others := units - len(begun):
        words.insert(0, f"Not begun by anybody: {others} of the {units} {plural(units, 'unit')}.")
    notes = [paragraph(text, table.width, _CAPTION) for text in words]
    return [*rows, *([stack([space(4), *notes])] if notes else [])]


def _unit_row(unit: UnitFigures, level: str, students: int, table: Columns) -> Block:
    answers = f"{unit.right:,} of {unit.tried:,}" if unit.tried else "none"
    numbers = (str(unit.secure_before), str(unit.secure_now), str(unit.begun))
    return table.row((level, unit.title, *numbers, _bar(unit, students), answers), _ROW)


def _bar(unit: UnitFigures, students: int) -> Block:
    """All students as a frame, those who have begun hatched, those who are secure black."""

    def draw(canvas: Canvas, x: float, top: float) -> None:
        y = top - 2.5 - _BAR_HEIGHT
        whole = max(students, unit.begun, unit.secure_now, 1)
        secure, begun = (count / whole * _BAR for count in (unit.secure_now, unit.begun))
        fill_with(canvas, Standing.WORKING, x, y, begun, _BAR_HEIGHT)
        fill_with(canvas, Standing.SECURE, x, y, secure, _BAR_HEIGHT)
        canvas.setLineWidth(0.6)
        canvas.rect(x, y, _BAR, _BAR_HEIGHT)

    return Block(_BAR_HEIGHT + 3, draw)

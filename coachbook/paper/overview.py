"""The group overview: who stands where in every unit, what goes wrong most, and the term's trend.

Two panels share their evenings: a line with points above, black bars below. Measures in points.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import groupby, pairwise

from reportlab.pdfgen.canvas import Canvas

from coachbook.model.print_options import PaperOptions
from coachbook.model.printed import GroupOverview, TrendPoint, UnitColumn
from coachbook.model.progress import Standing
from coachbook.paper.flow import Block, paragraph
from coachbook.paper.page import BODY, MM, SMALL, draw_rule, frame_of
from coachbook.paper.sections import Running, Section, body_height, columns, sections_pdf, slip_section
from coachbook.paper.standing_pattern import LEGEND_HEIGHT, draw_legend, draw_standing, fill_with
from coachbook.paper.text import draw_centred, draw_fitted, draw_right, draw_text, text_width
from coachbook.wording.counting import day_and_month, day_in_words

_AXIS = 9 * MM
# The last date may reach so far beyond the middle of a narrow slot.
_EDGE = 5.5 * MM
_PANEL_TITLE = 13.0
# Room between a panel's highest value and its title, for numbers.
_HEADROOM = 12.0
_LINE_PANEL, _BAR_PANEL = 23 * MM, 13 * MM
_PANEL_GAP = 8.0
_DATES = 14.0
_POINT = 2.3
_WIDEST_BAR, _WIDEST_SLOT = 6 * MM, 18 * MM
_NUMBER = 7.5


@dataclass(frozen=True, slots=True)
class _Panel:
    """A strip of the chart from `y` up, its evenings from `x` on, each `slot` wide."""

    x: float
    y: float
    height: float
    slot: float
    evenings: int

    def middle(self, evening: int) -> float:
        return self.x + (evening + 0.5) * self.slot


def trend_chart(trend: Sequence[TrendPoint], width: float) -> Block:
    """The chart of at least one evening. An evening without answers has no point, and no line meets it."""
    slot = min((width - _AXIS - _EDGE) / len(trend), _WIDEST_SLOT)
    panel = _PANEL_TITLE + _HEADROOM
    height = 2 * panel + _LINE_PANEL + _PANEL_GAP + _BAR_PANEL + _DATES

    def draw(canvas: Canvas, x: float, top: float) -> None:
        upper = _Panel(x + _AXIS, top - panel - _LINE_PANEL, _LINE_PANEL, slot, len(trend))
        lower = _Panel(x + _AXIS, upper.y - _PANEL_GAP - panel - _BAR_PANEL, _BAR_PANEL, slot, len(trend))
        draw_text(canvas, x, top - SMALL, "Right answers out of 100", SMALL)
        _draw_shares(canvas, upper, trend)
        draw_text(canvas, x, upper.y - _PANEL_GAP - SMALL, "Secure units, all students together", SMALL)
        _draw_secure(canvas, lower, trend)
        _draw_dates(canvas, lower, trend)

    return Block(height, draw)


def shown(evenings: int, slot: float, needed: float) -> list[int]:
    """Which evenings are labelled if each label needs so much room: evenly spread, and always the last."""
    step = max(1, -int(-needed // slot))
    return list(range(evenings - 1, -1, -step))[::-1]


def _draw_shares(canvas: Canvas, panel: _Panel, trend: Sequence[TrendPoint]) -> None:
    """Levels, line and points; the numbers in a row above them, where no line runs."""
    for share in (0, 50, 100):
        y = panel.y + share / 100 * panel.height
        draw_right(canvas, panel.x - 4, y - 0.34 * _NUMBER, str(share), _NUMBER)
        _draw_level(canvas, panel, y, fine=share > 0)
    points = [
        (panel.middle(i), panel.y + point.right / point.tried * panel.height) if point.tried else None
        for i, point in enumerate(trend)
    ]
    canvas.setLineWidth(1.4)
    for start, end in pairwise(points):
        if start and end:
            canvas.line(*start, *end)
    labelled = set(shown(len(trend), panel.slot, 16))
    for i, (at, point) in enumerate(zip(points, trend, strict=True)):
        if at:
            canvas.circle(*at, _POINT, stroke=0, fill=1)
            if i in labelled:
                share = round(100 * point.right / point.tried)
                draw_centred(canvas, at[0], panel.y + panel.height + 4, str(share), _NUMBER)


def _draw_secure(canvas: Canvas, panel: _Panel, trend: Sequence[TrendPoint]) -> None:
    most = max(1, *(point.secure for point in trend))
    bar = min(0.6 * panel.slot, _WIDEST_BAR)
    _draw_level(canvas, panel, panel.y, fine=False)
    labelled = set(shown(len(trend), panel.slot, 16))
    for i, point in enumerate(trend):
        middle, height = panel.middle(i), point.secure / most * panel.height
        fill_with(canvas, Standing.SECURE, middle - bar / 2, panel.y, bar, height)
        if i in labelled:
            draw_centred(canvas, middle, panel.y + height + 3, str(point.secure), _NUMBER)


def _draw_level(canvas: Canvas, panel: _Panel, y: float, *, fine: bool) -> None:
    canvas.setLineWidth(0.5 if fine else 0.9)
    canvas.setDash(*((1, 3) if fine else ()))
    canvas.line(panel.x, y, panel.x + panel.evenings * panel.slot, y)
    canvas.setDash()


def _draw_dates(canvas: Canvas, panel: _Panel, trend: Sequence[TrendPoint]) -> None:
    labels = [day_and_month(point.on) for point in trend]
    needed = max(text_width(label, SMALL) for label in labels) + 6
    for i in shown(len(trend), panel.slot, needed):
        draw_centred(canvas, panel.middle(i), panel.y - 11, labels[i], SMALL)


_LEAST_CELL = 12.3
_WIDEST_CELL, _HIGHEST_CELL = 9 * MM, 6 * MM
_LEAST_NAME = 30 * MM
_NAME, _UNIT, _LEVEL = 10.0, 8.5, 8.5
_LONGEST_UNIT = 47 * MM
_LEVEL_ROW = 14.0
_LEGEND_GAP = 7.0
_TURNED = 90


@dataclass(frozen=True, slots=True)
class _Grid:
    """The measures of the table: the column of names, a cell, and the turned titles."""

    name: float
    cell: float
    row: float
    titles: float

    @property
    def head(self) -> float:
        return _LEVEL_ROW + self.titles

    def height(self, rows: int) -> float:
        return self.head + rows * self.row + _LEGEND_GAP + LEGEND_HEIGHT + 2


def overview_pdf(overview: GroupOverview, options: PaperOptions) -> bytes:
    """A group's standing, its slips and its trend as a PDF: on one page if they fit."""
    frame = frame_of(options.size)
    day = day_in_words(overview.on)
    title = f"Group overview: {overview.group}" if overview.group else "Group overview"
    sections = [
        Section("", standing_tables(overview, frame.width, body_height(frame))),
        _missed(overview, frame.width),
        slip_section("What goes wrong most, and where to teach it again", overview.slips, frame.width),
        Section("The term so far", [_trend(overview, frame.width)]),
    ]
    return sections_pdf(options, Running(overview.club, day, title, overview.group), sections)


def _missed(overview: GroupOverview, width: float) -> Section:
    table = columns(width, ("Student", 34 * MM), ("Missed, and still to catch up", 0))
    return Section("Lessons missed", [table.row(row, BODY) for row in overview.missed], table.head())


def standing_tables(overview: GroupOverview, width: float, height: float) -> list[Block]:
    """The table of students by units: one block, or several where a page cannot hold it.

    Students move to the next block first, then units.
    """
    if not overview.rows or not overview.units:
        missing = "No student is in this group yet." if not overview.rows else "There is no unit yet."
        return [paragraph(missing, width)]
    names = max(text_width(name, _NAME) for name, _ in overview.rows) + 6
    most_units = int((width - _LEAST_NAME) / _LEAST_CELL)
    blocks = []
    for units in _shares(len(overview.units), most_units):
        titles = [unit.title for unit in overview.units[units.start : units.stop]]
        turned = min(max(text_width(title, _UNIT) for title in titles) + 8, _LONGEST_UNIT)
        name = max(_LEAST_NAME, min(names, width - len(titles) * _LEAST_CELL))
        cell = min((width - name) / len(titles), _WIDEST_CELL)
        lowest = _Grid(name, cell, _LEAST_CELL, turned)
        most_rows = int((height - lowest.height(0)) / _LEAST_CELL)
        for rows in _shares(len(overview.rows), most_rows):
            row = min((height - lowest.height(0)) / len(rows), _HIGHEST_CELL)
            blocks.append(_table(overview, rows, units, _Grid(name, cell, row, turned)))
    return blocks


def _shares(count: int, most: int) -> list[range]:
    """The numbers up to `count` in as few ranges as hold at most so many, all about equally long."""
    parts = -(-count // most)
    return [range(count * i // parts, count * (i + 1) // parts) for i in range(parts)]


def _trend(overview: GroupOverview, width: float) -> Block:
    if not overview.trend:
        return paragraph("No evening yet.", width)
    return trend_chart(overview.trend, width)


def _table(overview: GroupOverview, rows: range, units: range, grid: _Grid) -> Block:
    columns_shown = overview.units[units.start : units.stop]

    def draw(canvas: Canvas, x: float, top: float) -> None:
        left, below = x + grid.name, top - grid.head
        foot = below - len(rows) * grid.row
        _draw_titles(canvas, columns_shown, grid, left, below)
        for i, row in enumerate(rows):
            name, standings = overview.rows[row]
            _draw_row(canvas, name, standings[units.start : units.stop], grid, x, below - (i + 1) * grid.row)
        _draw_levels(canvas, columns_shown, grid, left, top, foot)
        draw_legend(canvas, x, foot - _LEGEND_GAP)

    return Block(grid.height(len(rows)), draw)


def _draw_titles(canvas: Canvas, units: Sequence[UnitColumn], grid: _Grid, left: float, below: float) -> None:
    """The titles of units, read from below, each over its column."""
    for i, unit in enumerate(units):
        canvas.saveState()
        canvas.translate(left + (i + 0.5) * grid.cell, below + 4)
        canvas.rotate(_TURNED)
        draw_fitted(canvas, 0, -0.34 * _UNIT, unit.title, _UNIT, grid.titles - 8)
        canvas.restoreState()


def _draw_row(
    canvas: Canvas, name: str, standings: Sequence[Standing], grid: _Grid, x: float, y: float
) -> None:
    draw_fitted(canvas, x, y + grid.row / 2 - 0.34 * _NAME, name, _NAME, grid.name - 6)
    for i, standing in enumerate(standings):
        draw_standing(canvas, standing, x + grid.name + i * grid.cell, y, grid.cell, grid.row)
    draw_rule(canvas, x, x + grid.name + len(standings) * grid.cell, y, 0.5)


def _draw_levels(
    canvas: Canvas, units: Sequence[UnitColumn], grid: _Grid, left: float, top: float, foot: float
) -> None:
    """The levels above their units, a strong line on either side, fine lines between units."""
    below = top - grid.head
    at = left
    for level, group in groupby(units, lambda unit: unit.level):
        count = len(list(group))
        width = count * grid.cell
        words = f"Level {level}"
        if text_width(words, _LEVEL, bold=True) > width - 4:
            words = str(level)
        draw_centred(canvas, at + width / 2, top - 10, words, _LEVEL, bold=True)
        canvas.setLineWidth(0.5)
        for i in range(1, count):
            canvas.line(at + i * grid.cell, below, at + i * grid.cell, foot)
        canvas.setLineWidth(1.2)
        canvas.line(at, top, at, foot)
        at += width
    canvas.line(at, top, at, foot)
    draw_rule(canvas, left - grid.name, at, below, 1.2)
    draw_rule(canvas, left - grid.name, at, foot, 1.2)

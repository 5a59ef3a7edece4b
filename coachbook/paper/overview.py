"""The group overview: who stands where in every unit, what goes wrong most, and the term's trend."""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import groupby
from pathlib import Path

from reportlab.pdfgen.canvas import Canvas

from coachbook.model.progress import Standing
from coachbook.model.reports import GroupOverview, UnitColumn
from coachbook.paper.chart import trend_chart
from coachbook.paper.flow import Block, paragraph
from coachbook.paper.options import PaperOptions
from coachbook.paper.page import MM, day_in_words, draw_rule, frame_of
from coachbook.paper.sections import Running, Section, body_height, write_sections
from coachbook.paper.slip_table import slip_section
from coachbook.paper.standing_pattern import LEGEND_HEIGHT, draw_legend, draw_standing
from coachbook.paper.text import draw_centred, draw_fitted, text_width

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


def write_overview(overview: GroupOverview, path: Path, options: PaperOptions) -> None:
    """Print a group's standing, its slips and its trend: on one page if they fit.

    Raises CoachbookError if the file cannot be written.
    """
    frame = frame_of(options.size)
    day = day_in_words(overview.on)
    title = f"Group overview: {overview.group}" if overview.group else "Group overview"
    sections = [
        Section("", standing_tables(overview, frame.width, body_height(frame))),
        slip_section("What goes wrong most, and where to teach it again", overview.slips, frame.width),
        Section("The term so far", [_trend(overview, frame.width)]),
    ]
    write_sections(path, options, Running(overview.club, day, title, overview.group), sections)


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

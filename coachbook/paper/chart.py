"""A group's term as a small chart: evening by evening the answers right, and the units secure.

Two panels share their evenings: a line with points above, black bars below. Measures in points.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

from reportlab.pdfgen.canvas import Canvas

from coachbook.model.progress import Standing
from coachbook.model.reports import TrendPoint
from coachbook.paper.flow import Block
from coachbook.paper.page import MM, SMALL, day_and_month
from coachbook.paper.standing_pattern import fill_with
from coachbook.paper.text import draw_centred, draw_right, draw_text, text_width

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
        draw_text(canvas, x, top - SMALL, "Of 100 answers, so many were right", SMALL)
        _draw_shares(canvas, upper, trend)
        draw_text(canvas, x, upper.y - _PANEL_GAP - SMALL, "Units secure, all students taken together", SMALL)
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

"""A standing as a pattern with a letter: to be told apart without colour, and in a photocopy of a photocopy.

New is blank, working is lightly hatched, secure is black. Fading keeps the black frame of
secure around a coarse hatch that falls the other way. All measures in points.
"""

import math

from reportlab.pdfgen.canvas import Canvas

from coachbook.model.progress import Standing
from coachbook.paper.page import MM, stamp
from coachbook.paper.text import draw_centred, draw_text, text_width
from coachbook.wording.people import STANDING_LETTERS, STANDINGS

_LIGHT_PITCH, _LIGHT_LINE = 3.4, 0.5
_COARSE_PITCH, _COARSE_LINE = 4.4, 1.3
_FADING_FRAME = 1.6
# White around each pattern, so that black cells do not run into one.
_INSET = 0.9
_LEGEND_SIZE = 9.0
_SAMPLE = 4.8 * MM


def draw_standing(
    canvas: Canvas, standing: Standing, x: float, y: float, width: float, height: float
) -> None:
    """A cell with its lower left corner at (x, y): pattern and letter, kept once per file and size.

    For new it is left blank.
    """
    if standing is Standing.NEW:
        return
    name = f"standing-{standing}-{round(width * 100)}-{round(height * 100)}"
    box = (0, 0, width, height)
    stamp(canvas, name, box, lambda: _draw_cell(canvas, standing, width, height), x, y)


def fill_with(canvas: Canvas, standing: Standing, x: float, y: float, width: float, height: float) -> None:
    """The pattern alone, over a rectangle with its lower left corner at (x, y)."""
    canvas.saveState()
    clip = canvas.beginPath()
    clip.rect(x, y, width, height)
    canvas.clipPath(clip, stroke=0, fill=0)
    if standing is Standing.SECURE:
        canvas.rect(x, y, width, height, stroke=0, fill=1)
    elif standing is Standing.WORKING:
        _hatch(canvas, x, y, width, height, _LIGHT_PITCH, _LIGHT_LINE, rising=True)
    elif standing is Standing.FADING:
        _hatch(canvas, x, y, width, height, _COARSE_PITCH, _COARSE_LINE, rising=False)
    canvas.restoreState()


def draw_legend(canvas: Canvas, x: float, top: float) -> None:
    """One line that explains the patterns, as high as LEGEND_HEIGHT."""
    y = top - _SAMPLE
    for standing in Standing:
        draw_standing(canvas, standing, x, y, _SAMPLE, _SAMPLE)
        canvas.setLineWidth(0.5)
        canvas.rect(x, y, _SAMPLE, _SAMPLE)
        x += _SAMPLE + 4
        draw_text(canvas, x, y + 0.29 * _SAMPLE, STANDINGS[standing], _LEGEND_SIZE)
        x += text_width(STANDINGS[standing], _LEGEND_SIZE) + 5 * MM


LEGEND_HEIGHT = _SAMPLE


def _draw_cell(canvas: Canvas, standing: Standing, width: float, height: float) -> None:
    fill_with(canvas, standing, _INSET, _INSET, width - 2 * _INSET, height - 2 * _INSET)
    if standing is Standing.FADING:
        half = _INSET + _FADING_FRAME / 2
        canvas.setLineWidth(_FADING_FRAME)
        canvas.rect(half, half, width - 2 * half, height - 2 * half)
    size = min(0.63 * height, 0.66 * width, 10)
    middle, foot = width / 2, height / 2 - 0.335 * size
    canvas.setFillGray(1)
    if standing in (Standing.WORKING, Standing.FADING):
        wide, tall = text_width(STANDING_LETTERS[standing], size, bold=True) + 0.25 * size, 0.94 * size
        canvas.roundRect(middle - wide / 2, (height - tall) / 2, wide, tall, 0.25 * size, stroke=0, fill=1)
        canvas.setFillGray(0)
    draw_centred(canvas, middle, foot, STANDING_LETTERS[standing], size, bold=True)
    canvas.setFillGray(0)


def _hatch(
    canvas: Canvas,
    x: float,
    y: float,
    width: float,
    height: float,
    pitch: float,
    line: float,
    *,
    rising: bool,
) -> None:
    """Lines at 45 degrees, `pitch` apart, over the rectangle and past its edges."""
    step = pitch * math.sqrt(2)
    canvas.setLineWidth(line)
    path = canvas.beginPath()
    for i in range(math.ceil((width + height) / step)):
        start = x - height + (i + 0.5) * step
        low, high = (y, y + height) if rising else (y + height, y)
        path.moveTo(start, low)
        path.lineTo(start + height, high)
    canvas.drawPath(path)

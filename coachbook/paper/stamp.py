"""Drawings that return many times in a file: kept once as a form XObject, then placed.

Without this a worksheet is several times larger, and slower to make.
"""

from collections.abc import Callable

from reportlab.pdfgen.canvas import Canvas

Box = tuple[float, float, float, float]


def stamp(
    canvas: Canvas, name: str, box: Box, draw: Callable[[], None], x: float, y: float, scale: float = 1
) -> None:
    """Place the form `name` with its origin at (x, y); `draw` makes it if the file has none yet.

    `box` is what the form may paint (left, bottom, right, top) in its own units. One name
    must always stand for one drawing.
    """
    if not canvas.hasForm(name):
        canvas.beginForm(name, *box)
        draw()
        canvas.endForm()
    canvas.saveState()
    canvas.transform(scale, 0, 0, scale, x, y)
    canvas.doForm(name)
    canvas.restoreState()

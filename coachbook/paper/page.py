"""The page: its frame, its type sizes, its running lines, and drawings that return many times in a file.

Such a drawing is kept in the file once (see `stamp`): a worksheet would else be several times larger, and
slower to make.
"""

from collections.abc import Callable
from dataclasses import dataclass
from io import BytesIO

from reportlab import rl_config
from reportlab.pdfgen.canvas import Canvas

from coachbook.errors import CoachbookError
from coachbook.model.print_options import PaperSize
from coachbook.paper.text import TEXT, draw_centred, draw_fitted, draw_right, signs_of_fonts, text_width

Box = tuple[float, float, float, float]

# Plain binary streams: a fifth smaller and faster than text-encoded ones.
rl_config.useA85 = 0

MM = 72 / 25.4
SMALL = 8.5
BODY = 10.0
TITLE = 19.0
RULE = 0.7

_SIZES_MM = {PaperSize.A4: (210.0, 297.0), PaperSize.LETTER: (215.9, 279.4)}
_SIDE_MM, _TOP_MM, _BOTTOM_MM = 14.0, 11.0, 11.0


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


@dataclass(frozen=True, slots=True)
class Frame:
    """The printable part of a page, in points from the lower left corner of the sheet."""

    left: float
    bottom: float
    right: float
    top: float

    @property
    def width(self) -> float:
        return self.right - self.left


def frame_of(size: PaperSize, *, landscape: bool = False) -> Frame:
    """The frame within the margins: 14 mm at the sides, 11 mm above and below."""
    width, height = _sheet_mm(size, landscape=landscape)
    return Frame(_SIDE_MM * MM, _BOTTOM_MM * MM, (width - _SIDE_MM) * MM, (height - _TOP_MM) * MM)


@dataclass(frozen=True, slots=True)
class HalfPage:
    """One of two pages side by side on one of the same paper: the half that it has, from where on it stands
    there, and the share of its size to which it shrinks."""

    width: float
    height: float
    left: float
    bottom: float
    scale: float


def half_page(size: PaperSize) -> HalfPage:
    """A page in the middle of its half of the paper."""
    width, height = (each * MM for each in _SIZES_MM[size])
    scale = min(height / 2 / width, width / height)
    return HalfPage(height / 2, width, (height / 2 - scale * width) / 2, (width - scale * height) / 2, scale)


def _sheet_mm(size: PaperSize, *, landscape: bool) -> tuple[float, float]:
    narrow, long = _SIZES_MM[size]
    return (long, narrow) if landscape else (narrow, long)


def pdf_of(size: PaperSize, title: str, draw: Callable[[Canvas], None], *, landscape: bool = False) -> bytes:
    """A whole document as PDF: the same drawing gives the same bytes.

    `draw` ends each page with `showPage`. Raises CoachbookError if there is no page.
    """
    signs_of_fonts()
    width, height = _sheet_mm(size, landscape=landscape)
    page = BytesIO()
    canvas = Canvas(
        page,
        pagesize=(width * MM, height * MM),
        pageCompression=1,
        invariant=1,
        initialFontName=TEXT,
        initialFontSize=BODY,
        lang="en-GB",
    )
    canvas.setTitle(title)
    canvas.setAuthor("coachbook")
    canvas.setCreator("coachbook")
    draw(canvas)
    if canvas.getPageNumber() == 1:
        raise CoachbookError("There is nothing to print.", "Choose at least one sheet.")
    canvas.save()
    return page.getvalue()


def draw_heading(
    canvas: Canvas, frame: Frame, left: str, right: str, title: str, *, size: float = TITLE, corner: str = ""
) -> None:
    """The top of every page: a line with two texts, a rule, the title, and a text in the right corner."""
    y = frame.top - 9
    right_width = min(0.48 * frame.width, text_width(right, BODY))
    draw_fitted(canvas, frame.left, y, left, BODY, frame.width - right_width - 4 * MM)
    draw_fitted(canvas, frame.right - right_width, y, right, BODY, right_width)
    draw_rule(canvas, frame.left, frame.right, y - 5, 1.4)
    room = frame.width - 1.5 * text_width(corner, 12, bold=True)
    draw_fitted(canvas, frame.left, y - 26, title, size, room, bold=True)
    draw_right(canvas, frame.right, y - 26, corner, 12, bold=True)


def draw_footer(canvas: Canvas, frame: Frame, left: str, middle: str, right: str) -> None:
    """One small line along the bottom of the frame."""
    y, most = frame.bottom + 1.5, 0.4 * frame.width
    right_width = min(most, text_width(right, SMALL))
    draw_fitted(canvas, frame.left, y, left, SMALL, most)
    draw_centred(canvas, (frame.left + frame.right) / 2, y, middle, SMALL)
    draw_fitted(canvas, frame.right - right_width, y, right, SMALL, right_width)


def draw_rule(canvas: Canvas, x1: float, x2: float, y: float, width: float = RULE) -> None:
    """A horizontal line."""
    canvas.setLineWidth(width)
    canvas.line(x1, y, x2, y)

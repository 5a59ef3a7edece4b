"""Diagrams: the board, its marks and its pieces, black on white for a photocopier.

Drawing order: hatched board, shade, outline, arrows, pieces, frame, signs. Dark squares are
hatched, since light grey vanishes in a photocopy. The empty board of a size and each piece
are form XObjects, kept once per file. All measures in points; widths scale with the square.
"""

import math

from reportlab.pdfgen.canvas import Canvas
from reportlab.pdfgen.pathobject import PDFPathObject

from coachbook.model.marks import Marks
from coachbook.model.position import Position
from coachbook.paper import overlay
from coachbook.paper.outline import Contour
from coachbook.paper.pieces import SHAPES, piece_contours
from coachbook.paper.stamp import stamp
from coachbook.paper.text import draw_centred

_COORDINATES = 7.0
_FRAME = 0.9
# Thinner lines are lost in a photocopy of a photocopy; small boards get fewer lines instead.
_THINNEST = 0.5
# The halo reaches this far beyond a piece's outline, in thousandths of a square: just past the
# foot of the square, so that no ends of hatch lines stay below the piece.
_HALO = 84


def rim_of(coordinates: float) -> float:
    """Room left of and below a board for coordinates of this type size."""
    return 1.25 * coordinates + 0.75


RIM = rim_of(_COORDINATES)


def draw_diagram(
    canvas: Canvas,
    position: Position,
    marks: Marks,
    x: float,
    y: float,
    size: float,
    coordinates: float = _COORDINATES,
) -> None:
    """A diagram whose eight by eight squares fill `size` from (x, y).

    Coordinates of that type size go outside, left and below, by their rim.
    """
    square, rim = size / 8, rim_of(coordinates)
    occupied = position.pieces
    board = f"board-{round(size * 100)}-{round(coordinates * 10)}"
    stamp(canvas, board, (-rim, -rim, size, size), lambda: _draw_board(canvas, size, coordinates), x, y)
    canvas.saveState()
    canvas.translate(x, y)
    overlay.draw_below(canvas, marks, square, frozenset(occupied))
    for at, letter in occupied.items():
        draw_piece(canvas, letter, at % 8 * square, at // 8 * square, square)
    canvas.setLineWidth(_FRAME)
    canvas.rect(0, 0, size, size)
    overlay.draw_above(canvas, marks, square, frozenset(occupied))
    canvas.restoreState()


def draw_piece(canvas: Canvas, letter: str, x: float, y: float, square: float) -> None:
    """One piece (FEN letter) on a square with its lower left corner at (x, y)."""
    name = f"piece-{'w' if letter.isupper() else 'b'}{letter.lower()}"
    stamp(canvas, name, (-30, -30, 1030, 1030), lambda: _draw_outlines(canvas, letter), x, y, square / 1000)


def _draw_board(canvas: Canvas, size: float, coordinates: float) -> None:
    square, rim = size / 8, rim_of(coordinates)
    hatch = canvas.beginPath()
    for at in range(64):
        if (at + at // 8) % 2 == 0:
            add_hatch(hatch, at % 8 * square, at // 8 * square, square, hatch_lines(square))
    canvas.setLineWidth(max(_THINNEST, 0.027 * square))
    canvas.drawPath(hatch)
    for i in range(8):
        middle = (i + 0.5) * square
        draw_centred(canvas, middle, 0.29 * coordinates - rim, "abcdefgh"[i], coordinates)
        draw_centred(canvas, 0.43 * coordinates - rim, middle - 0.34 * coordinates, str(i + 1), coordinates)


def hatch_lines(square: float) -> int:
    """How many lines hatch a dark square. Even, so that no line runs from corner to corner."""
    pitch_wanted = 3.25
    return max(6, 2 * round(square * math.sqrt(2) / pitch_wanted / 2))


def add_hatch(path: PDFPathObject, x: float, y: float, square: float, lines: int) -> None:
    """Rising lines at 45 degrees over one square, half a step off its corners."""
    for k in range(lines):
        rise = (2 * k + 1) * square / lines - square
        start, end = max(0.0, -rise), min(square, square - rise)
        path.moveTo(x + start, y + start + rise)
        path.lineTo(x + end, y + end + rise)


def _draw_outlines(canvas: Canvas, letter: str) -> None:
    """The white halo, then the piece."""
    canvas.setStrokeGray(1)
    canvas.setFillGray(1)
    canvas.setLineWidth(2 * _HALO)
    canvas.setLineJoin(1)
    canvas.drawPath(_path(canvas, SHAPES[letter.upper()].silhouette), stroke=1, fill=1, fillMode=1)
    canvas.setFillGray(0)
    canvas.drawPath(_path(canvas, piece_contours(letter)), stroke=0, fill=1, fillMode=1)


def _path(canvas: Canvas, shapes: tuple[Contour, ...]) -> PDFPathObject:
    path = canvas.beginPath()
    for shape in shapes:
        path.moveTo(*shape.start)
        for step in shape.segments:
            if len(step) == 1:
                path.lineTo(*step[0])
            else:
                (x1, y1), (x2, y2), (x3, y3) = step
                path.curveTo(x1, y1, x2, y2, x3, y3)
        path.close()
    return path

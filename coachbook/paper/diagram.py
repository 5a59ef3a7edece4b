"""Diagrams: the board, its marks and its pieces, black on white for a photocopier.

Coordinates start at the board's lower left corner; `square` is a square's side in points.

Drawing order: hatched board, shade, outline, arrows, pieces, frame, signs. Dark squares are
hatched, since light grey vanishes in a photocopy. The empty board of a size and each piece
are form XObjects, kept once per file. All measures in points; widths scale with the square.
"""

import math
from collections import defaultdict
from collections.abc import Iterable

from reportlab.pdfgen.canvas import Canvas
from reportlab.pdfgen.pathobject import PDFPathObject

from coachbook.model.position import Arrow, ArrowStyle, Marks, Position, Sign, SquareSign
from coachbook.paper.page import stamp
from coachbook.paper.pieces import SHAPES, Contour, piece_contours
from coachbook.paper.text import draw_centred

Corner = tuple[int, int]
# On small boards the marks must stay stronger than the hatch of the dark squares.
_THINNEST_SHADE = 0.8


def draw_below(canvas: Canvas, marks: Marks, square: float, occupied: frozenset[int]) -> None:
    """Shade, then the outline, then the arrows."""
    if marks.shaded:
        _draw_shade(canvas, marks.shaded, square)
    if marks.outlined:
        _draw_outline(canvas, marks.outlined, square)
    for arrow in marks.arrows:
        _draw_arrow(canvas, arrow, square, short=arrow.end in occupied)


def draw_above(canvas: Canvas, marks: Marks, square: float, occupied: frozenset[int]) -> None:
    """Ticks, crosses, dots and short texts; beside the piece if the square is occupied."""
    for sign in marks.signs:
        x, y = (sign.square % 8 + 0.5) * square, (sign.square // 8 + 0.5) * square
        if sign.square in occupied:
            _draw_sign(canvas, sign, x + 0.3 * square, y + 0.3 * square, 0.4 * square)
        else:
            _draw_sign(canvas, sign, x, y, 0.62 * square)


def outline_loops(squares: Iterable[int]) -> list[list[Corner]]:
    """The border of a set of squares as closed loops of corners (file 0-8, rank 0-8).

    Squares that touch only at a corner have loops that touch there.
    """
    inside = set(squares)
    steps: dict[Corner, list[Corner]] = defaultdict(list)
    for at in sorted(inside):
        file, rank = at % 8, at // 8
        corners = [(file, rank), (file + 1, rank), (file + 1, rank + 1), (file, rank + 1)]
        neighbours = [rank > 0 and at - 8, file < 7 and at + 1, rank < 7 and at + 8, file > 0 and at - 1]
        for i, neighbour in enumerate(neighbours):
            if neighbour is False or neighbour not in inside:
                steps[corners[i]].append(corners[(i + 1) % 4])
    loops = []
    while steps:
        loops.append(_take_loop(steps))
    return loops


def _take_loop(steps: dict[Corner, list[Corner]]) -> list[Corner]:
    """Walk one closed loop out of the directed border steps, turning left at touching corners."""
    start = min(steps)
    loop, heading = [start], (1, 0)
    while len(loop) == 1 or loop[-1] != start:
        here = loop[-1]
        left = (-heading[1], heading[0])
        choices = steps[here]
        nearest = max(choices, key=lambda c: left[0] * (c[0] - here[0]) + left[1] * (c[1] - here[1]))
        choices.remove(nearest)
        if not choices:
            del steps[here]
        heading = (nearest[0] - here[0], nearest[1] - here[1])
        loop.append(nearest)
    return loop[:-1]


def _draw_shade(canvas: Canvas, shaded: Iterable[int], square: float) -> None:
    """Falling lines, at twice the pitch of a board of full size."""
    lines = 4
    path = canvas.beginPath()
    for at in shaded:
        x, top = at % 8 * square, (at // 8 + 1) * square
        for k in range(lines):
            drop = (2 * k + 1) * square / lines - square
            start, end = max(0.0, -drop), min(square, square - drop)
            path.moveTo(x + start, top - start - drop)
            path.lineTo(x + end, top - end - drop)
    canvas.setLineWidth(max(_THINNEST_SHADE, 0.048 * square))
    canvas.drawPath(path)


def _draw_outline(canvas: Canvas, squares: Iterable[int], square: float) -> None:
    path = canvas.beginPath()
    for loop in outline_loops(squares):
        path.moveTo(loop[0][0] * square, loop[0][1] * square)
        for file, rank in loop[1:]:
            path.lineTo(file * square, rank * square)
        path.close()
    for gray, width, thinnest in ((1, 0.224, 2.8), (0, 0.117, 1.6)):
        canvas.setStrokeGray(gray)
        canvas.setLineWidth(max(width * square, thinnest))
        canvas.drawPath(path)


def _draw_arrow(canvas: Canvas, arrow: Arrow, square: float, *, short: bool) -> None:
    """From the middle of a square to the middle of another, or to the edge of a piece there."""
    x1, y1 = (arrow.start % 8 + 0.5) * square, (arrow.start // 8 + 0.5) * square
    x2, y2 = (arrow.end % 8 + 0.5) * square, (arrow.end // 8 + 0.5) * square
    length = math.hypot(x2 - x1, y2 - y1) - (0.46 if short else 0.1) * square
    head, half_head, half_shaft = 0.36 * square, 0.23 * square, 0.085 * square
    path = canvas.beginPath()
    path.moveTo(0, half_shaft)
    path.lineTo(length - head, half_shaft)
    path.lineTo(length - head, half_head)
    path.lineTo(length, 0)
    path.lineTo(length - head, -half_head)
    path.lineTo(length - head, -half_shaft)
    path.lineTo(0, -half_shaft)
    path.close()
    canvas.saveState()
    canvas.translate(x1, y1)
    canvas.rotate(math.degrees(math.atan2(y2 - y1, x2 - x1)))
    canvas.setStrokeGray(1)
    canvas.setLineWidth(0.16 * square)
    canvas.drawPath(path)
    canvas.setStrokeGray(0)
    canvas.setLineWidth(0.055 * square)
    canvas.setFillGray(0 if arrow.style is ArrowStyle.ANSWER else 1)
    if arrow.style is ArrowStyle.PLAYED:
        canvas.setLineWidth(0.075 * square)
        canvas.setDash(0.16 * square, 0.09 * square)
    canvas.drawPath(path, fill=1)
    canvas.restoreState()


def _draw_sign(canvas: Canvas, sign: SquareSign, x: float, y: float, size: float) -> None:
    """A sign `size` wide on a white disc around (x, y)."""
    canvas.saveState()
    canvas.translate(x, y)
    canvas.setFillGray(1)
    canvas.circle(0, 0, 0.6 * size, stroke=0, fill=1)
    canvas.setFillGray(0)
    canvas.setLineWidth(0.2 * size)
    if sign.text == Sign.DOT:
        canvas.circle(0, 0, 0.26 * size, stroke=0, fill=1)
    elif sign.text == Sign.CROSS:
        canvas.lines([(-0.32 * size, -0.32 * size, 0.32 * size, 0.32 * size)])
        canvas.lines([(-0.32 * size, 0.32 * size, 0.32 * size, -0.32 * size)])
    elif sign.text == Sign.TICK:
        tick = canvas.beginPath()
        tick.moveTo(-0.38 * size, -0.02 * size)
        tick.lineTo(-0.12 * size, -0.3 * size)
        tick.lineTo(0.4 * size, 0.36 * size)
        canvas.drawPath(tick)
    else:
        letter = size if len(sign.text) == 1 else 0.8 * size
        draw_centred(canvas, 0, -0.34 * letter, sign.text, letter, bold=True)
    canvas.restoreState()


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
    draw_below(canvas, marks, square, frozenset(occupied))
    for at, letter in occupied.items():
        draw_piece(canvas, letter, at % 8 * square, at // 8 * square, square)
    canvas.setLineWidth(_FRAME)
    canvas.rect(0, 0, size, size)
    draw_above(canvas, marks, square, frozenset(occupied))
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

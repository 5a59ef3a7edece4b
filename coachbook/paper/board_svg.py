"""Boards and QR codes for a screen, as SVG: the same pieces, hatching, marks and signs as on paper.

A square is 1000 by 1000 units, as in `pieces`; y points down, as SVG has it.
"""

import math
from collections.abc import Collection, Iterable
from html import escape

from coachbook.model.position import Arrow, ArrowStyle, Marks, Position, Sign, SquareSign
from coachbook.paper.diagram import outline_loops
from coachbook.paper.pieces import SHAPES, Contour, piece_contours
from coachbook.paper.sheet_layout import dark_stretches, qr_modules

_SQUARE = 1000
_BOARD = 8 * _SQUARE
_RIM = 420
_EDGE = 30
"""Room beyond the board for half of its frame."""
_SIDE = _RIM + _BOARD + _EDGE
_BOX = f"{-_RIM} {-_EDGE} {_SIDE} {_SIDE}"
_PLACE = f'x="{-_RIM}" y="{-_EDGE}" width="{_SIDE}" height="{_SIDE}"'
_HATCH_LINES = 8
_SHADE_LINES = 4
_HALO = 168
_HATCHING = 'stroke="#000" stroke-width="27" fill="none"'


def sprites() -> str:
    """What all boards share, as symbols: the twelve pieces ("wK" is the white king), the empty "board" and a
    "dark" square."""
    pieces = (_symbol(f"{side}{name}", letter) for name in SHAPES for side, letter in _letters(name))
    dark = f'<path d="{_lines(0, _HATCH_LINES, rising=True)}" {_HATCHING}/>'
    shifted = f'<symbol id="dark" viewBox="0 {_BOARD - _SQUARE} {_SQUARE} {_SQUARE}">{dark}</symbol>'
    return f'<svg xmlns="http://www.w3.org/2000/svg">{"".join(pieces)}{_empty_board()}{shifted}</svg>'


def sprite_of(letter: str) -> str:
    """The name of the symbol of a piece by its FEN letter."""
    return f"{'w' if letter.isupper() else 'b'}{letter.upper()}"


def board_svg(position: Position, marks: Marks, sprites: str, told: str) -> str:
    """A board with its marks. `sprites` is the address of the pieces, and `told` what a screen reader says;
    both are put in as they are, so they hold no markup."""
    occupied = position.pieces
    pieces = "".join(_piece(letter, at, sprites) for at, letter in occupied.items())
    return (
        f'<svg class="board" viewBox="{_BOX}" role="img" aria-label="{escape(told)}">'
        f'<use href="{sprites}#board" {_PLACE}/>'
        f"{_below(marks, occupied)}{pieces}{_above(marks, occupied)}</svg>"
    )


def marks_svg(marks: Marks, occupied: Collection[int]) -> str:
    """The marks alone, for a board whose men are drawn by somebody else: a layer that lies below the men
    (class "marks") and one above them ("marks above"), each as large as the 64 squares; "" without marks."""
    below, above = _below(marks, occupied), _above(marks, occupied)
    return "".join(
        f'<svg class="{name}" viewBox="0 0 {_BOARD} {_BOARD}" aria-hidden="true">{drawn}</svg>'
        for name, drawn in (("marks", below), ("marks above", above))
        if drawn
    )


def _below(marks: Marks, occupied: Collection[int]) -> str:
    arrows = "".join(_arrow(arrow, short=arrow.end in occupied) for arrow in marks.arrows)
    return f"{_shade(marks.shaded)}{_outline(marks.outlined)}{arrows}"


def _above(marks: Marks, occupied: Collection[int]) -> str:
    return "".join(_sign(sign, occupied=sign.square in occupied) for sign in marks.signs)


def _empty_board() -> str:
    return (
        f'<symbol id="board" viewBox="{_BOX}">'
        f'<rect {_PLACE} fill="#fff"/><path d="{_hatch()}" {_HATCHING}/>'
        f'<rect width="{_BOARD}" height="{_BOARD}" stroke="#000" stroke-width="40" fill="none"/>'
        f"{_coordinates()}</symbol>"
    )


def _letters(name: str) -> tuple[tuple[str, str], ...]:
    return ("w", name), ("b", name.lower())


def _symbol(name: str, letter: str) -> str:
    shape = SHAPES[letter.upper()]
    halo = "".join(_path(each) for each in shape.silhouette)
    ink = "".join(_path(each) for each in piece_contours(letter))
    return (
        f'<symbol id="{name}" viewBox="0 0 {_SQUARE} {_SQUARE}">'
        f'<path d="{halo}" fill="#fff" stroke="#fff" stroke-width="{_HALO}" stroke-linejoin="round"/>'
        f'<path d="{ink}" fill="#000"/></symbol>'
    )


def _path(shape: Contour) -> str:
    parts = [f"M{_point(shape.start)}"]
    parts += ["LC"[len(step) == 3] + " ".join(_point(point) for point in step) for step in shape.segments]
    return "".join(parts) + "Z"


def _point(point: tuple[float, float]) -> str:
    return f"{round(point[0])} {round(_SQUARE - point[1])}"


def _corner(square: int) -> tuple[int, int]:
    """The upper left corner of a square."""
    return square % 8 * _SQUARE, (7 - square // 8) * _SQUARE


def _middle(square: int) -> tuple[float, float]:
    x, y = _corner(square)
    return x + _SQUARE / 2, y + _SQUARE / 2


def _piece(letter: str, square: int, sprites: str) -> str:
    x, y = _corner(square)
    href = f"{sprites}#{sprite_of(letter)}"
    return f'<use href="{href}" x="{x}" y="{y}" width="{_SQUARE}" height="{_SQUARE}"/>'


def _hatch() -> str:
    dark = (at for at in range(64) if (at + at // 8) % 2 == 0)
    return "".join(_lines(at, _HATCH_LINES, rising=True) for at in dark)


def _lines(square: int, lines: int, *, rising: bool) -> str:
    """Lines at 45 degrees over one square, half a step off its corners."""
    x, y = _corner(square)
    found = []
    for k in range(lines):
        offset = (2 * k + 1) * _SQUARE / lines - _SQUARE
        start, end = max(0.0, -offset), min(_SQUARE, _SQUARE - offset)
        ends = [(start, start + offset), (end, end + offset)]
        (x1, y1), (x2, y2) = [(a, _SQUARE - b if rising else b) for a, b in ends]
        found.append(f"M{x + x1:g} {y + y1:g}L{x + x2:g} {y + y2:g}")
    return "".join(found)


def _shade(squares: Iterable[int]) -> str:
    lines = "".join(_lines(square, _SHADE_LINES, rising=False) for square in squares)
    return f'<path d="{lines}" stroke="#000" stroke-width="60" fill="none"/>' if lines else ""


def _outline(squares: tuple[int, ...]) -> str:
    if not squares:
        return ""
    loops = []
    for loop in outline_loops(squares):
        points = " L".join(f"{file * _SQUARE} {(8 - rank) * _SQUARE}" for file, rank in loop)
        loops.append(f"M{points}Z")
    path = "".join(loops)
    return "".join(
        f'<path d="{path}" fill="none" stroke="{colour}" stroke-width="{width}"/>'
        for colour, width in (("#fff", 224), ("#000", 117))
    )


def _arrow(arrow: Arrow, *, short: bool) -> str:
    (x1, y1), (x2, y2) = _middle(arrow.start), _middle(arrow.end)
    length = math.hypot(x2 - x1, y2 - y1) - (460 if short else 100)
    neck = length - 360
    corners = ((0, 85), (neck, 85), (neck, 230), (length, 0), (neck, -230), (neck, -85), (0, -85))
    points = " ".join(f"{x:g},{y}" for x, y in corners)
    turn = f'transform="translate({x1:g} {y1:g}) rotate({math.degrees(math.atan2(y2 - y1, x2 - x1)):g})"'
    played = arrow.style is ArrowStyle.PLAYED
    fill = "#000" if arrow.style is ArrowStyle.ANSWER else "#fff"
    line = 'stroke-width="75" stroke-dasharray="160 90"' if played else 'stroke-width="55"'
    return (
        f'<g {turn}><polygon points="{points}" fill="none" stroke="#fff" stroke-width="160"/>'
        f'<polygon points="{points}" fill="{fill}" stroke="#000" {line}/></g>'
    )


def _sign(sign: SquareSign, *, occupied: bool) -> str:
    """On a white disc; beside the piece if there is one on the square."""
    x, y = _middle(sign.square)
    size = 400 if occupied else 620
    if occupied:
        x, y = x + 300, y - 300
    disc = f'<circle r="{0.6 * size:g}" fill="#fff"/>'
    return f'<g transform="translate({x:g} {y:g})">{disc}{_inside(sign.text, size)}</g>'


def _inside(text: str, size: int) -> str:
    line = f'fill="none" stroke="#000" stroke-width="{0.2 * size:g}"'
    if text == Sign.DOT:
        return f'<circle r="{0.26 * size:g}" fill="#000"/>'
    if text == Sign.CROSS:
        far = 0.32 * size
        return f'<path d="M{-far:g} {-far:g}L{far:g} {far:g}M{-far:g} {far:g}L{far:g} {-far:g}" {line}/>'
    if text == Sign.TICK:
        points = ((-0.38, 0.02), (-0.12, 0.3), (0.4, -0.36))
        return f'<path d="M{"L".join(f"{size * a:g} {size * b:g}" for a, b in points)}" {line}/>'
    letter = size if len(text) == 1 else 0.8 * size
    at = f'y="{0.34 * letter:g}" font-size="{letter:g}"'
    return f'<text {at} font-weight="bold" text-anchor="middle">{escape(text)}</text>'


def _coordinates() -> str:
    middles = [(i + 0.5) * _SQUARE for i in range(8)]
    files = (
        f'<text x="{x:g}" y="{_BOARD + 330}">{name}</text>'
        for x, name in zip(middles, "abcdefgh", strict=True)
    )
    ranks = (f'<text x="-210" y="{_BOARD - y + 110:g}">{i + 1}</text>' for i, y in enumerate(middles))
    return f'<g font-size="330" text-anchor="middle">{"".join(files)}{"".join(ranks)}</g>'


_QUIET = 4
"""Modules that stay free around a symbol (ISO/IEC 18004)."""


def qr_svg(text: str, told: str) -> str:
    """The symbol of a text, black on white, a module one unit wide; `told` is what a screen reader says."""
    rows = qr_modules(text)
    dark = "".join(
        f"M{start} {y}h{end - start}v1H{start}z"
        for y, row in enumerate(rows)
        for start, end in dark_stretches(row)
    )
    side = len(rows) + 2 * _QUIET
    return (
        f'<svg class="qr" viewBox="{-_QUIET} {-_QUIET} {side} {side}" role="img" aria-label="{escape(told)}"'
        f' shape-rendering="crispEdges"><rect x="{-_QUIET}" y="{-_QUIET}" width="{side}" height="{side}"'
        f' fill="#fff"/><path d="{dark}" fill="#000"/></svg>'
    )

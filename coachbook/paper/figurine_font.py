"""Build the figurine font from the drawings in `pieces`.

Run it as `python -m coachbook.paper.figurine_font` after every change of a drawing: a tool
for development (it needs fontTools, which coachbook does not at run time). The built file
ships with the package. U+2654 to U+265F are the chessmen; U+2192 is the arrow, U+2713 the tick and
U+2717 the cross, which neither text font has.
"""

from io import BytesIO

from fontTools.fontBuilder import FontBuilder
from fontTools.pens.cu2quPen import Cu2QuPen
from fontTools.pens.ttGlyphPen import TTGlyphPen
from fontTools.ttLib.tables._g_l_y_f import Glyph, flagOverlapSimple

from coachbook.paper.pieces import Contour, contour, piece_contours
from coachbook.paper.text import FIGURINE_FILE

_EM = 1000
_FIRST = 0x2654
_ARROW, _TICK, _CROSS = 0x2192, 0x2713, 0x2717
# Piece drawings stand on y = 70 and reach from 132 to 868: bring them onto the baseline,
# a little taller than a capital letter, with a thin gap on either side.
_SCALE, _FOOT, _LEFT, _GAP = 0.92, 70, 132, 35
_PIECE_WIDTH = round((1000 - 2 * _LEFT) * _SCALE) + 2 * _GAP
_ARROW_WIDTH, _MARK_WIDTH = 840, 710
_ARROW_SHAPE = contour(
    "70 215 L 560 215 L 430 85 L 520 85 L 770 300 L 520 515 L 430 515 L 560 285 L 560 385 L 70 285"
)
_TICK_SHAPE = contour("50 300 L 275 85 L 660 595 L 565 665 L 262 262 L 135 385")
_CROSS_SHAPE = contour(
    "155 45 L 355 245 L 555 45 L 635 125 L 435 325 L 635 525 L 555 605 L 355 405 L 155 605 L 75 525 L 275 325"
    " L 75 125"
)


def build_font() -> bytes:
    """The font file. The same drawings always give the same bytes."""
    signs = {_ARROW: "arrow", _TICK: "tick", _CROSS: "cross"}
    names = {_FIRST + i: f"piece{i}" for i in range(12)} | signs
    glyphs = {".notdef": _glyph(()), "arrow": _glyph((_ARROW_SHAPE,))}
    glyphs |= {"tick": _glyph((_TICK_SHAPE,)), "cross": _glyph((_CROSS_SHAPE,))}
    for i, letter in enumerate("KQRBNPkqrbnp"):
        glyphs[f"piece{i}"] = _glyph(piece_contours(letter), _SCALE, (_GAP - _LEFT * _SCALE, -_FOOT * _SCALE))
    order = list(glyphs)
    own_widths = {"arrow": _ARROW_WIDTH, "tick": _MARK_WIDTH, "cross": _MARK_WIDTH}
    widths = {name: own_widths.get(name, _PIECE_WIDTH) for name in order}
    builder = FontBuilder(_EM, isTTF=True)
    builder.setupGlyphOrder(order)
    builder.setupCharacterMap(names)
    builder.setupGlyf(glyphs)
    left = {name: glyphs[name].xMin if glyphs[name].numberOfContours else 0 for name in order}
    builder.setupHorizontalMetrics({name: (widths[name], left[name]) for name in order})
    builder.setupHorizontalHeader(ascent=800, descent=-200)
    builder.setupNameTable({"familyName": "Coachbook Figurines", "styleName": "Regular"})
    builder.setupOS2(sTypoAscender=800, usWinAscent=800, usWinDescent=200, sCapHeight=700)
    builder.setupPost()
    builder.font["head"].created = builder.font["head"].modified = 0
    file = BytesIO()
    builder.font.save(file)
    return file.getvalue()


def _glyph(shapes: tuple[Contour, ...], scale: float = 1.0, shift: tuple[float, float] = (0, 0)) -> Glyph:
    pen = TTGlyphPen(None)
    curves = Cu2QuPen(pen, max_err=1.0, reverse_direction=True)
    for shape in shapes:
        curves.moveTo(_moved(shape.start, scale, shift))
        for step in shape.segments:
            points = [_moved(point, scale, shift) for point in step]
            if len(points) == 1:
                curves.lineTo(points[0])
            else:
                curves.curveTo(*points)
        curves.closePath()
    glyph = pen.glyph()
    if shapes:
        # The parts of a piece overlap; rasterisers must join them, not cancel them.
        glyph.flags[0] |= flagOverlapSimple
    return glyph


def _moved(point: tuple[float, float], scale: float, shift: tuple[float, float]) -> tuple[float, float]:
    return point[0] * scale + shift[0], point[1] * scale + shift[1]


if __name__ == "__main__":
    FIGURINE_FILE.write_bytes(build_font())

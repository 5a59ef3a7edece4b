"""coachbook's own chess pieces, drawn for children: turned wood, broad foot, one large clear head.

A piece is built of parts that overlap by the width of a line. The white piece is the parts'
borders, the black piece the parts filled; knobs are solid in both. The same contours are
drawn on diagrams and compiled into the figurine font. A square is 1000 by 1000 units, y
points up.
"""

from dataclasses import dataclass

from coachbook.paper.outline import Contour, circle, contour, hole, inset, mirrored

LINE = 48.0
_SLIT = 32.0


@dataclass(frozen=True, slots=True)
class PieceShape:
    """Hollow `parts`, solid `knobs`, `features` (an eye, a cut), and `slits` of light in the black piece."""

    parts: tuple[Contour, ...]
    knobs: tuple[Contour, ...] = ()
    features: tuple[Contour, ...] = ()
    slits: tuple[Contour, ...] = ()

    @property
    def silhouette(self) -> tuple[Contour, ...]:
        return self.parts + self.knobs

    @property
    def white(self) -> tuple[Contour, ...]:
        return (*self.silhouette, *(hole(inset(part, LINE)) for part in self.parts), *self.features)

    @property
    def black(self) -> tuple[Contour, ...]:
        return (*self.silhouette, *(hole(shape) for shape in (*self.features, *self.slits)))


def _slit(y: float, half_width: float, middle: float = 500) -> Contour:
    """A level bar of light, its lower edge at y."""
    left, right = middle - half_width, middle + half_width
    return contour(f"{left} {y} L {right} {y} L {right} {y + _SLIT} L {left} {y + _SLIT}")


_FOOT = mirrored("500 95 L 770 95 C 814 95 836 124 836 172 C 836 230 812 256 760 258 L 500 258")
_SKIRT = mirrored("500 210 L 748 210 C 735 270 690 320 672 400 L 500 400")

_KING = PieceShape(
    parts=(
        _FOOT,
        _SKIRT,
        mirrored("500 348 L 672 348 C 740 420 812 490 812 572 C 812 655 690 676 500 676"),
    ),
    knobs=(mirrored("500 640 L 552 640 L 552 738 L 668 738 L 668 842 L 552 842 L 552 938 L 500 938"),),
    slits=(_slit(260, 178), _slit(402, 168)),
)

_QUEEN = PieceShape(
    parts=(
        _FOOT,
        _SKIRT,
        mirrored("500 348 L 672 348 C 706 450 770 570 850 716 L 652 596 L 500 800"),
    ),
    knobs=(circle(500, 822, 68), circle(162, 732, 68), circle(838, 732, 68)),
    slits=(_slit(260, 178), _slit(402, 146)),
)

_ROOK = PieceShape(
    parts=(
        _FOOT,
        mirrored("500 210 L 735 210 C 700 300 682 420 678 596 L 500 596"),
        mirrored("500 544 L 752 544 L 780 574 L 780 842 L 630 842 L 630 738 L 576 738 L 576 842 L 500 842"),
    ),
    slits=(_slit(260, 174), _slit(598, 214)),
)

_BISHOP = PieceShape(
    parts=(
        _FOOT,
        mirrored("500 210 L 720 210 C 710 260 660 290 630 370 L 500 370"),
        mirrored("500 360 L 625 360 C 718 430 744 520 712 590 C 680 680 590 750 536 826 L 500 826"),
    ),
    knobs=(
        mirrored("500 324 L 665 324 C 715 324 715 412 665 412 L 500 412"),
        circle(500, 866, 62),
    ),
    features=(contour("536 560 L 566 540 L 648 660 L 618 684"),),
    slits=(_slit(260, 142), _slit(414, 132)),
)

_KNIGHT = PieceShape(
    parts=(
        _FOOT,
        contour(
            "262 210 L 760 210 C 812 400 800 690 610 806 L 590 926 C 535 900 490 862 466 812"
            " C 372 778 318 690 282 590 C 240 540 180 490 166 425 C 156 360 200 312 262 318"
            " C 305 322 328 352 350 382 C 405 388 450 405 492 448 C 480 350 300 330 262 210"
        ),
    ),
    features=(
        circle(436, 640, 36),
        contour("560 692 C 634 610 648 490 630 372 L 664 372 C 690 500 668 640 588 716"),
    ),
    slits=(_slit(260, 178, 556),),
)

_PAWN = PieceShape(
    parts=(
        _FOOT,
        mirrored("500 210 L 715 210 C 705 320 615 380 590 520 L 500 520"),
        circle(500, 630, 168),
    ),
    knobs=(mirrored("500 462 L 640 462 C 692 462 692 548 640 548 L 500 548"),),
    slits=(_slit(260, 146),),
)

SHAPES: dict[str, PieceShape] = {
    "K": _KING,
    "Q": _QUEEN,
    "R": _ROOK,
    "B": _BISHOP,
    "N": _KNIGHT,
    "P": _PAWN,
}


def piece_contours(letter: str) -> tuple[Contour, ...]:
    """The filled contours of a piece by its FEN letter (upper case is White)."""
    shape = SHAPES[letter.upper()]
    return shape.white if letter.isupper() else shape.black

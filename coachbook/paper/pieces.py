"""coachbook's own chess pieces, drawn for children: turned wood, broad foot, one clear head each.

A piece is built of parts that overlap by the width of a line. The black piece is the
parts filled, with a few slits of light; the white piece is the parts' borders. The same
contours are drawn on diagrams and compiled into the figurine font. Square 1000 by 1000.
"""

from dataclasses import dataclass

from coachbook.paper.outline import Contour, circle, contour, hole, inset, mirrored

LINE = 46.0


@dataclass(frozen=True, slots=True)
class PieceShape:
    """Closed `parts`, lines inside the white piece, and slits of light in the black one."""

    parts: tuple[Contour, ...]
    white_lines: tuple[Contour, ...]
    black_slits: tuple[Contour, ...]

    @property
    def white(self) -> tuple[Contour, ...]:
        holes = tuple(hole(inset(part, LINE)) for part in self.parts)
        return self.parts + holes + self.white_lines

    @property
    def black(self) -> tuple[Contour, ...]:
        return self.parts + tuple(hole(slit) for slit in self.black_slits)


_FOOT = mirrored("500 105 L 760 105 C 800 105 822 128 822 165 C 822 215 800 242 750 246 L 500 246")

_PAWN = PieceShape(
    parts=(
        _FOOT,
        mirrored("500 200 L 725 200 C 715 320 620 380 590 520 L 500 520"),
        mirrored("500 474 L 630 474 C 672 474 672 546 630 546 L 500 546"),
        circle(500, 655, 152),
    ),
    white_lines=(),
    black_slits=(),
)

_ROOK = PieceShape(
    parts=(
        _FOOT,
        mirrored("500 200 L 735 200 C 700 300 682 420 678 620 L 500 620"),
        mirrored("500 574 L 740 574 L 765 600 L 765 830 L 635 830 L 635 752 L 565 752 L 565 830 L 500 830"),
    ),
    white_lines=(),
    black_slits=(),
)

_BISHOP = PieceShape(
    parts=(
        _FOOT,
        mirrored("500 200 L 700 200 C 690 280 640 310 610 390 L 500 390"),
        mirrored("500 344 L 655 344 C 697 344 697 420 655 420 L 500 420"),
        mirrored("500 374 L 610 374 C 690 440 720 520 700 590 C 680 680 580 740 530 820 L 500 820"),
        circle(500, 850, 58),
    ),
    white_lines=(),
    black_slits=(),
)

_KNIGHT = PieceShape(
    parts=(
        _FOOT,
        contour(
            "270 200 L 760 200 C 800 420 790 680 600 800 L 575 905 C 530 890 490 850 470 800"
            " C 380 770 330 690 290 590 C 250 540 195 490 180 420 C 172 360 215 310 270 318"
            " C 310 322 330 350 350 378 C 400 385 440 400 480 440 C 470 350 300 330 270 200"
        ),
    ),
    white_lines=(circle(430, 640, 34),),
    black_slits=(circle(430, 640, 34),),
)

_QUEEN = PieceShape(
    parts=(
        _FOOT,
        mirrored("500 200 L 735 200 C 720 300 650 340 625 440 L 500 440"),
        mirrored("500 394 L 670 394 C 712 394 712 470 670 470 L 500 470"),
        mirrored("500 424 L 640 424 C 660 520 740 640 830 740 L 690 670 L 655 820 L 570 690 L 500 860"),
    ),
    white_lines=(),
    black_slits=(),
)

_KING = PieceShape(
    parts=(
        _FOOT,
        mirrored("500 200 L 735 200 C 720 300 650 340 625 440 L 500 440"),
        mirrored("500 394 L 670 394 C 712 394 712 470 670 470 L 500 470"),
        mirrored("500 424 L 640 424 C 690 500 730 580 750 660 C 740 720 620 740 500 740"),
        mirrored("500 694 L 540 694 L 540 790 L 620 790 L 620 870 L 540 870 L 540 940 L 500 940"),
    ),
    white_lines=(),
    black_slits=(),
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

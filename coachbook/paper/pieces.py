"""coachbook's own chess pieces, drawn for children: turned wood, broad foot, one large clear head.

Units are those of the drawing (a square is 1000 wide, y points up). Contours run
counter-clockwise round what is filled and clockwise round what is cut out, so that
the non-zero winding rule fills them alike in a PDF and in a font.

A piece is built of parts that overlap by the width of a line. The white piece is the parts'
borders, the black piece the parts filled; knobs are solid in both. The same contours are
drawn on diagrams and compiled into the figurine font. A square is 1000 by 1000 units, y
points up.
"""

import math
from dataclasses import dataclass

Point = tuple[float, float]
# Where a circle's control points lie, as a share of its radius: 4/3 * (sqrt(2) - 1).
_ROUND = 4 / 3 * (math.sqrt(2) - 1)


@dataclass(frozen=True, slots=True)
class Contour:
    """A closed path: each segment is one point (a line) or three (a cubic curve)."""

    start: Point
    segments: tuple[tuple[Point, ...], ...]


def contour(path: str) -> Contour:
    """Read "x y L x y C x1 y1 x2 y2 x y ...": a start, then lines and curves, closed by a line."""
    return _closed(_read(path))


def mirrored(path: str) -> Contour:
    """A path from the foot to the top of the middle line x = 500, completed by its mirror image."""
    half = _read(path)
    flipped = tuple(tuple((1000 - x, y) for x, y in step) for step in half.segments)
    back = _reversed(Contour((1000 - half.start[0], half.start[1]), flipped))
    bridge = () if half.segments[-1][-1] == back.start else ((back.start,),)
    return _closed(Contour(half.start, half.segments + bridge + back.segments))


def circle(x: float, y: float, radius: float) -> Contour:
    """A full circle, counter-clockwise."""
    k = radius * _ROUND
    r = radius
    quarters = (
        ((x + r, y + k), (x + k, y + r), (x, y + r)),
        ((x - k, y + r), (x - r, y + k), (x - r, y)),
        ((x - r, y - k), (x - k, y - r), (x, y - r)),
        ((x + k, y - r), (x + r, y - k), (x + r, y)),
    )
    return Contour((x + r, y), quarters)


def hole(shape: Contour) -> Contour:
    """The same path run the other way round: it cuts out what it encloses."""
    return _reversed(shape)


def inset(shape: Contour, depth: float) -> Contour:
    """The path moved inwards by `depth`, corners kept sharp.

    Each leg of the control polygon is moved along its normal and met with its neighbour:
    the rule of Tiller and Hanson (IEEE Computer Graphics and Applications, 1984).
    """
    points = [shape.start, *(point for step in shape.segments for point in step)][:-1]
    legs = [_normal(points, i) for i in range(len(points))]
    moved = [_meet(points[i], legs[i - 1], legs[i], depth) for i in range(len(points))]
    moved.append(moved[0])
    segments, at = [], 1
    for step in shape.segments:
        segments.append(tuple(moved[at : at + len(step)]))
        at += len(step)
    return Contour(moved[0], tuple(segments))


def _read(path: str) -> Contour:
    """The path as written, not yet closed."""
    head, *rest = path.replace("L", "|L").replace("C", "|C").split("|")
    return Contour(_points(head)[0], tuple(_points(step[1:]) for step in rest))


def _points(text: str) -> tuple[Point, ...]:
    numbers = [float(word) for word in text.split()]
    return tuple(zip(numbers[::2], numbers[1::2], strict=True))


def _closed(shape: Contour) -> Contour:
    if shape.segments[-1][-1] == shape.start:
        return shape
    return Contour(shape.start, (*shape.segments, (shape.start,)))


def _reversed(shape: Contour) -> Contour:
    points = [shape.start, *(point for step in shape.segments for point in step)][::-1]
    segments, at = [], 1
    for step in reversed(shape.segments):
        segments.append(tuple(points[at : at + len(step)]))
        at += len(step)
    return Contour(points[0], tuple(segments))


def _normal(points: list[Point], i: int) -> Point:
    """Unit vector to the left of the leg from point i to the next one."""
    (x1, y1), (x2, y2) = points[i], points[(i + 1) % len(points)]
    length = math.hypot(x2 - x1, y2 - y1)
    return (y1 - y2) / length, (x2 - x1) / length


def _meet(point: Point, before: Point, after: Point, depth: float) -> Point:
    """Where the two moved legs at `point` meet; parallel legs move straight inwards."""
    share = depth / (1 + before[0] * after[0] + before[1] * after[1])
    return point[0] + share * (before[0] + after[0]), point[1] + share * (before[1] + after[1])


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


_FOOT = mirrored("500 70 L 800 70 C 846 70 868 100 868 150 C 868 208 842 236 788 238 L 500 238")

_KING = PieceShape(
    parts=(
        _FOOT,
        mirrored("500 190 L 756 190 C 742 282 648 318 622 420 L 500 420"),
        mirrored("500 372 L 622 372 C 644 464 816 510 856 616 C 884 730 706 776 500 776"),
    ),
    knobs=(
        mirrored("500 354 L 648 354 C 700 354 700 434 648 434 L 500 434"),
        mirrored("500 746 L 554 746 L 554 798 L 654 798 L 654 882 L 554 882 L 554 938 L 500 938"),
    ),
    features=(contour("190 576 L 810 576 L 824 618 L 176 618"),),
    slits=(_slit(240, 196),),
)

_QUEEN = PieceShape(
    parts=(
        _FOOT,
        mirrored("500 190 L 764 190 C 752 262 690 312 664 404 L 500 404"),
        mirrored("500 352 L 664 352 C 704 460 790 590 866 738 L 664 606 L 500 828"),
    ),
    knobs=(circle(500, 862, 70), circle(138, 752, 70), circle(862, 752, 70)),
    slits=(_slit(240, 196), _slit(404, 146)),
)

_ROOK = PieceShape(
    parts=(
        _FOOT,
        mirrored("500 190 L 712 190 L 696 590 L 500 590"),
        mirrored("500 540 L 784 540 L 812 572 L 812 810 L 672 810 L 672 706 L 588 706 L 588 810 L 500 810"),
    ),
    slits=(_slit(240, 176), _slit(586, 232)),
)

_BISHOP = PieceShape(
    parts=(
        _FOOT,
        mirrored("500 188 L 746 188 C 735 240 679 271 646 353 L 500 353"),
        mirrored("500 343 L 640 343 C 744 415 773 508 737 580 C 702 673 601 745 540 823 L 500 823"),
    ),
    knobs=(
        mirrored("500 306 L 685 306 C 741 306 741 397 685 397 L 500 397"),
        circle(500, 858, 64),
    ),
    features=(contour("540 549 L 574 528 L 666 652 L 632 677"),),
    slits=(_slit(240, 156), _slit(399, 140)),
)

_KNIGHT = PieceShape(
    parts=(
        _FOOT,
        contour(
            "238 188 L 786 188 C 843 384 830 683 621 802 L 599 912 C 538 889 489 856 463 809"
            " C 359 773 300 683 260 580 C 214 528 148 477 133 410 C 122 343 170 294 238 300"
            " C 286 304 311 335 335 366 C 396 372 445 389 491 434 C 478 333 280 312 238 188"
        ),
    ),
    features=(
        circle(430, 631, 38),
        contour("566 685 C 647 600 663 477 643 355 L 680 355 C 709 487 685 631 597 710"),
    ),
    slits=(_slit(240, 196, 546),),
)

_PAWN = PieceShape(
    parts=(
        _FOOT,
        mirrored("500 190 L 736 190 C 726 295 626 355 599 495 L 500 495"),
        circle(500, 602, 172),
    ),
    knobs=(mirrored("500 432 L 654 432 C 711 432 711 518 654 518 L 500 518"),),
    slits=(_slit(240, 160),),
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

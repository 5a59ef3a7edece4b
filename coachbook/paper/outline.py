"""Closed paths of straight lines and Bezier curves: reading, mirroring, turning round, insetting.

Units are those of the drawing (a square is 1000 wide, y points up). Contours run
counter-clockwise round what is filled and clockwise round what is cut out, so that
the non-zero winding rule fills them alike in a PDF and in a font.
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

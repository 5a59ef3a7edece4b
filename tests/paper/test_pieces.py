import math
from io import BytesIO
from itertools import pairwise

import pytest
from fontTools.pens.recordingPen import RecordingPen
from fontTools.ttLib import TTFont

from coachbook.paper.figurine_font import build_font
from coachbook.paper.pieces import LINE, SHAPES, Contour, circle, contour, hole, inset, piece_contours
from coachbook.paper.text import FIGURINE_FILE


def corners(shape: Contour) -> list[tuple[float, float]]:
    """The points of a contour and of its control polygon."""
    return [shape.start, *(point for step in shape.segments for point in step)]


def area(shape: Contour) -> float:
    """Signed area of the control polygon: positive if it runs counter-clockwise."""
    return sum(x1 * y2 - x2 * y1 for (x1, y1), (x2, y2) in pairwise(corners(shape))) / 2


@pytest.mark.parametrize("letter", "KQRBNP")
def test_pieces_stay_in_their_square_and_stand_on_one_line(letter: str) -> None:
    points = [point for shape in SHAPES[letter].silhouette for point in corners(shape)]
    assert all(60 < x < 940 and 60 < y < 940 for x, y in points)
    assert min(y for _, y in points) == 70


@pytest.mark.parametrize("letter", "KQRBNP")
def test_what_is_filled_runs_one_way_and_what_is_cut_out_the_other(letter: str) -> None:
    shape = SHAPES[letter]
    assert all(area(part) > 0 for part in (*shape.silhouette, *shape.features, *shape.slits))
    assert all(area(hole(inset(part, LINE))) < 0 for part in shape.parts)


def test_no_two_pieces_are_drawn_alike() -> None:
    assert len({piece_contours(letter) for letter in "KQRBNPkqrbnp"}) == 12


def test_an_inset_square_is_a_smaller_square() -> None:
    square = contour("0 0 L 100 0 L 100 100 L 0 100")
    assert corners(inset(square, 10)) == [(10, 10), (90, 10), (90, 90), (10, 90), (10, 10)]


def test_an_inset_circle_is_nearly_a_smaller_circle() -> None:
    inner = inset(circle(0, 0, 100), 20)
    start = inner.start
    for one, two, end in inner.segments:
        middle = [(a + 3 * b + 3 * c + d) / 8 for a, b, c, d in zip(start, one, two, end, strict=True)]
        assert math.hypot(*end) == pytest.approx(80)
        assert math.hypot(*middle) == pytest.approx(80, abs=2)
        start = end


def outlines(font: TTFont) -> dict[str, list[object]]:
    drawn = {}
    for name in font.getGlyphOrder():
        pen = RecordingPen()
        font.getGlyphSet()[name].draw(pen)
        drawn[name] = pen.value
    return drawn


def test_the_shipped_figurine_font_is_drawn_from_these_pieces() -> None:
    shipped, rebuilt = TTFont(FIGURINE_FILE), TTFont(BytesIO(build_font()))
    assert outlines(shipped) == outlines(rebuilt)
    assert shipped.getBestCmap() == rebuilt.getBestCmap()
    assert shipped["hmtx"].metrics == rebuilt["hmtx"].metrics


def test_the_figurine_font_has_all_chessmen_the_arrow_tick_and_cross() -> None:
    assert set(TTFont(FIGURINE_FILE).getBestCmap()) == {*range(0x2654, 0x2660), 0x2192, 0x2713, 0x2717}


def test_building_the_font_twice_gives_the_same_bytes() -> None:
    assert build_font() == build_font()

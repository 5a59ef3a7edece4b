"""A copy of a copy: 600 dots an inch, twice blurred, made noisy and cut to black and white."""

from collections.abc import Callable
from pathlib import Path

import chess
import numpy as np
import pytest
from reportlab.pdfgen.canvas import Canvas

from coachbook.model.position import Marks, Position
from coachbook.model.print_options import PaperSize
from coachbook.paper.diagram import draw_diagram
from coachbook.paper.page import MM, pdf_of
from tests.paper import printed

DPI = 600
PAGE_HEIGHT = 297 * MM
X = Y = 100.0
POSITION = Position("8/8/8/3q4/4Q3/8/K7/1N3k2 w - - 0 1")
SHADED = ("c5", "c6")


def blurred(page: printed.Pixels) -> printed.Pixels:
    """Three passes of a running mean of five dots, both ways: nearly a Gaussian of 2.4 dots."""
    smooth = page.astype(np.float64)
    for axis in (0, 1) * 3:
        smooth = np.mean([np.roll(smooth, shift, axis) for shift in range(-2, 3)], axis=0)
    return smooth.astype(np.uint8)


def copied(page: printed.Pixels) -> printed.Pixels:
    noise = np.random.default_rng(7)
    for _ in range(2):
        seen = blurred(page) + noise.normal(0, 18, page.shape)
        page = np.where(seen > 140, 255, 0).astype(np.uint8)
    return page


def copied_square(folder: Path, side: float, draw: Callable[[Canvas], object]) -> printed.Pixels:
    """What is drawn in the square of this side, in points, up from X and Y: its pixels after two
    generations of copying."""

    def on_a_page(canvas: Canvas) -> None:
        draw(canvas)
        canvas.showPage()

    (folder / "square.pdf").write_bytes(pdf_of(PaperSize.A4, "square", on_a_page))
    dots = round(side * DPI / 72)
    window = (round(X * DPI / 72), round((PAGE_HEIGHT - Y - side) * DPI / 72), dots, dots)
    (page,) = printed.pixels(folder / "square.pdf", DPI, folder, window=window)
    return copied(page)


def copied_board(folder: Path, size_mm: float) -> printed.Pixels:
    """The squares of a diagram, as pixels, after two generations of copying."""
    size, marks = size_mm * MM, Marks(shaded=tuple(map(chess.parse_square, SHADED)))
    return copied_square(folder, size, lambda canvas: draw_diagram(canvas, POSITION, marks, X, Y, size))


def ink(board: printed.Pixels, name: str) -> float:
    side = board.shape[0] / 8
    at = chess.parse_square(name)
    left, top = at % 8 * side, (7 - at // 8) * side
    edge = 0.06 * side
    square = board[
        round(top + edge) : round(top + side - edge), round(left + edge) : round(left + side - edge)
    ]
    return float(1 - square.mean() / 255)


@pytest.mark.parametrize("size_mm", [53, 36, 30, 28])
def test_hatch_shade_and_pieces_survive_a_copy_of_a_copy(tmp_path: Path, size_mm: float) -> None:
    board = copied_board(tmp_path, size_mm)
    assert ink(board, "g5") > 0.05, "the hatch is gone"
    assert ink(board, "f5") < 0.01, "a light square has grown dark"
    assert ink(board, "c6") > ink(board, "f5") + 0.1, "the shade on a light square is gone"
    assert ink(board, "c5") > ink(board, "g5") + 0.08, "the shade on a dark square is gone"
    for white, black in (("e4", "d5"), ("a2", "f1")):
        assert ink(board, white) > 0.12, "a white piece is gone"
        assert ink(board, black) > ink(board, white) + 0.1, "white and black look alike"
    assert 0.15 < ink(board, "b1") < 0.35, "the white knight is gone or filled"

from pathlib import Path

import chess
import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from reportlab.pdfgen.canvas import Canvas

from coachbook.model.position import Arrow, ArrowStyle, Marks, Position, Sign, SquareSign
from coachbook.model.print_options import PaperSize
from coachbook.paper.diagram import draw_diagram, hatch_lines, outline_loops
from coachbook.paper.page import pdf_of
from tests.paper import printed

DPI = 144
SIZE = 240.0
X, Y = 100.0, 300.0
KINGS = Position("7k/8/8/8/8/8/8/K7 w - - 0 1")
SQUARE = SIZE / 8 * DPI / 72


def square_of(page: printed.Pixels, name: str) -> printed.Pixels:
    """The pixels of one square of a printed diagram, its border left out."""
    at = chess.parse_square(name)
    left = X * DPI / 72 + at % 8 * SQUARE
    top = page.shape[0] - Y * DPI / 72 - (at // 8 + 1) * SQUARE
    return page[round(top) + 4 : round(top + SQUARE) - 4, round(left) + 4 : round(left + SQUARE) - 4]


def ink(page: printed.Pixels, name: str) -> float:
    """The share of black on a square, 0 to 1."""
    return float(1 - square_of(page, name).mean() / 255)


def show(folder: Path, marks: Marks, position: Position = KINGS) -> printed.Pixels:
    def draw_page(canvas: Canvas) -> None:
        draw_diagram(canvas, position, marks, X, Y, SIZE)
        canvas.showPage()

    (folder / "diagram.pdf").write_bytes(pdf_of(PaperSize.A4, "diagram", draw_page))
    (page,) = printed.pixels(folder / "diagram.pdf", DPI, folder)
    return page


def test_dark_squares_are_hatched_and_light_ones_empty(tmp_path: Path) -> None:
    page = show(tmp_path, Marks())
    assert all(0.08 < ink(page, name) < 0.3 for name in ("b2", "d4", "e5", "g1"))
    assert all(ink(page, name) == 0 for name in ("b1", "d5", "e4", "g2"))


def test_shade_is_seen_on_light_and_dark_squares(tmp_path: Path) -> None:
    page = show(tmp_path, Marks(shaded=(chess.parse_square("d4"), chess.parse_square("d5"))))
    assert ink(page, "d5") > 0.12
    assert ink(page, "d4") > ink(page, "e5") + 0.08


def test_an_outline_runs_round_the_squares_only(tmp_path: Path) -> None:
    box = tuple(chess.parse_square(name) for name in ("c3", "d3", "c4", "d4"))
    plain = show(tmp_path, Marks())
    outlined = show(tmp_path, Marks(outlined=box))
    changed = np.argwhere(plain != outlined)
    centre = np.array([plain.shape[0] - Y * DPI / 72 - 3 * SQUARE, X * DPI / 72 + 3 * SQUARE])
    reach = np.abs(changed - centre).max(axis=1)
    assert abs(reach - SQUARE).max() < 0.16 * SQUARE


@pytest.mark.parametrize("style", ArrowStyle)
def test_an_arrow_leads_from_square_to_square(tmp_path: Path, style: ArrowStyle) -> None:
    page = show(tmp_path, Marks(arrows=(Arrow(chess.C4, chess.G4, style),)))
    assert all(ink(page, name) > 0.05 for name in ("e4", "g4"))
    assert ink(page, "e6") == 0


def test_an_answer_is_solid_a_suggestion_hollow_and_what_was_played_dashed(tmp_path: Path) -> None:
    dark = {
        style: ink(
            show(tmp_path, Marks(arrows=(Arrow(chess.C4, chess.G4, style),))),
            "e4",
        )
        for style in ArrowStyle
    }
    assert dark[ArrowStyle.ANSWER] > dark[ArrowStyle.SUGGESTION] + 0.03
    assert dark[ArrowStyle.SUGGESTION] > dark[ArrowStyle.PLAYED] + 0.01


def test_an_arrow_stops_short_of_a_piece(tmp_path: Path) -> None:
    queen = Position("7k/8/8/4Q3/8/8/8/K7 w - - 0 1")
    towards = Marks(arrows=(Arrow(chess.parse_square("e2"), chess.parse_square("e5")),))
    centre = slice(round(SQUARE * 0.25), round(SQUARE * 0.6))
    alone = square_of(show(tmp_path, Marks(), queen), "e5")[centre]
    assert np.array_equal(alone, square_of(show(tmp_path, towards, queen), "e5")[centre])


@pytest.mark.parametrize("sign", [*Sign, "7", "12"])
def test_each_sign_is_printed_on_its_square(tmp_path: Path, sign: str) -> None:
    page = show(tmp_path, Marks(signs=(SquareSign(chess.parse_square("e4"), sign),)))
    assert ink(page, "e4") > 0.02
    assert ink(page, "f5") == 0


@pytest.mark.parametrize("letter", "QRBNP")
def test_a_black_piece_is_far_darker_than_the_white_one(tmp_path: Path, letter: str) -> None:
    both = Position(f"7k/8/8/4{letter.lower()}3/4{letter}3/8/8/K7 w - - 0 1")
    page = show(tmp_path, Marks(), both)
    assert ink(page, "e5") > ink(page, "e4") + 0.1
    assert ink(page, "h8") > ink(page, "a1") + 0.1


def test_a_halo_keeps_the_hatch_off_the_pieces(tmp_path: Path) -> None:
    empty = square_of(show(tmp_path, Marks()), "d4")
    pawn = square_of(show(tmp_path, Marks(), Position("7k/8/8/8/3p4/8/8/K7 w - - 0 1")), "d4")
    assert np.mean((empty < 100) & (pawn > 200)) > 0.02


def test_a_fine_hatch_gives_way_to_fewer_lines_on_small_boards() -> None:
    assert hatch_lines(53 / 25.4 * 72 / 8) == 8
    assert hatch_lines(30 / 25.4 * 72 / 8) == 6


@given(st.floats(5, 60))
def test_no_hatch_line_runs_from_corner_to_corner(square: float) -> None:
    assert hatch_lines(square) % 2 == 0


@given(st.frozensets(st.integers(0, 63), max_size=30))
def test_the_border_of_squares_is_walked_once(inside: frozenset[int]) -> None:
    loops = outline_loops(inside)
    edges = [edge for loop in loops for edge in zip(loop, [*loop[1:], loop[0]], strict=True)]
    assert len(set(edges)) == len(edges) == border_length(inside)
    assert all(abs(x2 - x1) + abs(y2 - y1) == 1 for (x1, y1), (x2, y2) in edges)
    enclosed = sum(x1 * y2 - x2 * y1 for (x1, y1), (x2, y2) in edges) // 2
    assert enclosed == len(inside)


def border_length(inside: frozenset[int]) -> int:
    places = {(at % 8, at // 8) for at in inside}
    around = [(x + dx, y + dy) for x, y in places for dx, dy in ((1, 0), (-1, 0), (0, 1), (0, -1))]
    return sum(1 for place in around if place not in places)

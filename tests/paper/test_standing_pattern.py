from pathlib import Path

import numpy as np
import pytest
from reportlab.pdfgen.canvas import Canvas

from coachbook.model.print_options import PaperSize
from coachbook.model.progress import Standing
from coachbook.paper.page import pdf_of
from coachbook.paper.standing_pattern import draw_legend, draw_standing, fill_with
from tests.paper import printed
from tests.paper.test_photocopy import DPI, X, Y, copied_square

SIDE = 12.3


def cell(folder: Path, standing: Standing, *, letter: bool = True) -> printed.Pixels:
    """The smallest cell of an overview, as pixels, after two generations of copying."""
    draw = draw_standing if letter else fill_with
    return copied_square(folder, SIDE, lambda canvas: draw(canvas, standing, X, Y, SIDE, SIDE))


def ink(page: printed.Pixels) -> float:
    return float(np.mean(page == 0))


def test_a_copy_of_a_copy_tells_the_patterns_apart_by_how_dark_they_are(tmp_path: Path) -> None:
    shares = {standing: ink(cell(tmp_path, standing, letter=False)) for standing in Standing}
    assert shares[Standing.NEW] < 0.01
    assert 0.05 < shares[Standing.WORKING] < 0.25
    assert 1.5 * shares[Standing.WORKING] < shares[Standing.FADING] < 0.5
    assert shares[Standing.SECURE] > 0.98


def test_a_copy_of_a_copy_keeps_the_frame_of_a_fading_unit_and_the_letter_of_a_secure_one(
    tmp_path: Path,
) -> None:
    fading = cell(tmp_path, Standing.FADING)
    ring = round(1.7 * DPI / 72)
    assert ink(fading[ring, ring:-ring]) > 0.95
    secure = cell(tmp_path, Standing.SECURE)
    middle = secure.shape[0] // 4
    assert 0.08 < 1 - ink(secure[middle:-middle, middle:-middle]) < 0.6


def test_working_rises_and_fading_falls(tmp_path: Path) -> None:
    for standing, rising in ((Standing.WORKING, True), (Standing.FADING, False)):
        page = (cell(tmp_path, standing, letter=False) == 0).astype(float)
        up = np.mean(page[1:, :-1] * page[:-1, 1:])
        down = np.mean(page[1:, 1:] * page[:-1, :-1])
        assert bool(up > down) is rising


@pytest.mark.parametrize("standing", [Standing.WORKING, Standing.SECURE, Standing.FADING])
def test_a_cell_is_kept_once_in_a_file(tmp_path: Path, standing: Standing) -> None:
    def draw(canvas: Canvas) -> None:
        for i in range(9):
            draw_standing(canvas, standing, X + i * SIDE, Y, SIDE, SIDE)
        canvas.showPage()

    (tmp_path / "cells.pdf").write_bytes(pdf_of(PaperSize.A4, "cells", draw))
    assert list(printed.uses_of_forms(tmp_path / "cells.pdf").values()) == [9]


def test_the_legend_names_all_four_standings_and_their_letters(tmp_path: Path) -> None:
    def draw(canvas: Canvas) -> None:
        draw_legend(canvas, X, Y)
        canvas.showPage()

    (tmp_path / "legend.pdf").write_bytes(pdf_of(PaperSize.A4, "legend", draw))
    words = printed.texts(tmp_path / "legend.pdf")[0].split()
    assert {*map(str, Standing), "W", "S", "F"} <= set(words)

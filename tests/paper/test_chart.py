from datetime import date, timedelta
from itertools import pairwise
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st
from pypdf import PdfReader
from reportlab.pdfgen.canvas import Canvas

from coachbook.model.print_options import PaperSize
from coachbook.model.printed import TrendPoint
from coachbook.paper.overview import shown, trend_chart
from coachbook.paper.page import MM, frame_of, pdf_of
from tests.paper import printed, report_samples


def chart_words(path: Path, *trend: TrendPoint) -> list[str]:
    frame = frame_of(PaperSize.A4)

    def draw(canvas: Canvas) -> None:
        trend_chart(trend, frame.width).draw(canvas, frame.left, frame.top)
        canvas.showPage()

    path.write_bytes(pdf_of(PaperSize.A4, "chart", draw))
    return printed.texts(path)[0].split()


def test_an_evening_is_drawn_with_its_date_its_share_right_and_the_units_secure(tmp_path: Path) -> None:
    words = chart_words(tmp_path / "c.pdf", TrendPoint(date(2026, 9, 10), 31, 42, 17))
    assert {"74", "17", "10", "Sept", "0", "50", "100"} <= set(words)


def test_an_evening_without_answers_has_no_share(tmp_path: Path) -> None:
    words = chart_words(tmp_path / "c.pdf", TrendPoint(date(2026, 9, 10), 0, 0, 17))
    assert words.count("0") == 1
    assert "17" in words


def test_no_line_of_the_chart_runs_through_a_number(tmp_path: Path) -> None:
    start = date(2026, 9, 10)
    high = [
        TrendPoint(start + timedelta(weeks=i), right, 100, 0) for i, right in enumerate((100, 93, 87, 41))
    ]
    frame = frame_of(PaperSize.A4)
    chart_words(tmp_path / "c.pdf", *high)
    (page,) = PdfReader(tmp_path / "c.pdf").pages
    heights: dict[str, float] = {}

    def keep(text: str, _page: object, at: list[float], *_: object) -> None:
        heights.setdefault(text.strip(), at[5])

    page.extract_text(visitor_text=keep)
    # The level of 100 stands in the middle of its number at the axis; nothing is drawn above it.
    level = frame.top - 13 - 12
    assert heights["100"] < level + 7.5
    assert [heights[share] - level for share in ("93", "87", "41")] == pytest.approx([4, 4, 4], abs=0.01)


@pytest.mark.parametrize("evenings", [1, 2, 12, 40])
def test_first_to_last_evening_stay_within_the_width(tmp_path: Path, evenings: int) -> None:
    chart_words(tmp_path / "c.pdf", *report_samples.trend(evenings))
    (page,) = printed.pixels(tmp_path / "c.pdf", 72, tmp_path)
    left, _, right, _ = printed.margins_mm(page, 72)
    assert min(left, right) >= 13.3


def test_the_chart_is_as_high_as_it_says(tmp_path: Path) -> None:
    chart_words(tmp_path / "c.pdf", *report_samples.trend(12))
    (page,) = printed.pixels(tmp_path / "c.pdf", 72, tmp_path)
    below = printed.margins_mm(page, 72)[3]
    height = trend_chart(report_samples.trend(12), 500).height
    assert below >= 297 - 11 - height / MM


@given(st.integers(1, 200), st.floats(1, 60), st.floats(1, 60))
def test_labels_have_their_room_and_the_last_evening_always_has_one(
    evenings: int, slot: float, needed: float
) -> None:
    labelled = shown(evenings, slot, needed)
    assert labelled[-1] == evenings - 1
    steps = {later - earlier for earlier, later in pairwise(labelled)}
    assert len(steps) <= 1
    assert all(step * slot >= needed - 1e-9 for step in steps)
    assert labelled[0] < (min(steps) if steps else evenings)

"""A sheet of several units says so: on its pages, and on its key."""

from dataclasses import replace
from pathlib import Path

import pytest

from coachbook.model.print_options import PaperOptions, PaperSize
from coachbook.model.worksheet import Worksheet
from coachbook.paper.answer_key import key_pdf
from coachbook.paper.sheet_head import mix_line
from coachbook.paper.sheet_pages import worksheets_pdf
from tests.paper import printed, samples

TITLES = (("rook-box", "The rook's box"), ("mate-in-one", "Mate in one move"))


def sheet_of(*units: str) -> Worksheet:
    """A sheet on the rook's box with an item of each of these units, of which two have titles."""
    items = tuple(replace(samples.how_big(), unit=unit) for unit in units)
    return replace(
        samples.worksheet(1), unit="rook-box", unit_title="The rook's box", items=items, titles=TITLES
    )


def on_paper(path: Path, sheet: Worksheet, *, large: bool = False, size: PaperSize = PaperSize.A4) -> str:
    path.write_bytes(worksheets_pdf([(sheet, "Ida")], PaperOptions(size, large_print=large)))
    return " ".join(printed.texts(path)[0].split())


@pytest.mark.parametrize(
    ("units", "told"),
    [
        (("rook-box",), ""),
        (("rook-box", "rook-box"), ""),
        (("mate-in-one", "rook-box"), "Also: Mate in one move (1)"),
        (
            ("mate-in-one", "mate-in-one", "two-majors", "rook-box"),
            "Also: Mate in one move (1 to 2), two majors (3)",
        ),
        (("mate-in-one", "rook-box", "mate-in-one", "mate-in-one"), "Also: Mate in one move (1, 3 to 4)"),
    ],
)
def test_items_of_other_units_are_told_by_number(units: tuple[str, ...], told: str) -> None:
    assert mix_line(sheet_of(*units)) == told


def test_a_sheet_that_is_called_after_no_unit_tells_them_all() -> None:
    sheet = replace(sheet_of("rook-box", "mate-in-one", "mate-in-one"), unit_title="Review")
    assert mix_line(sheet) == "From: The rook's box (1), Mate in one move (2 to 3)"


@pytest.mark.parametrize("large", [False, True])
def test_a_sheet_tells_what_is_on_it_beside_its_own_unit(tmp_path: Path, large: bool) -> None:
    text = on_paper(tmp_path / "x.pdf", sheet_of("mate-in-one", "rook-box"), large=large)
    assert "The rook's box" in text
    assert "Also: Mate in one move (1)" in text
    assert "Also:" not in on_paper(tmp_path / "y.pdf", sheet_of("rook-box"), large=large)


def test_the_key_tells_it_too(tmp_path: Path) -> None:
    (tmp_path / "mixed.pdf").write_bytes(key_pdf([sheet_of("mate-in-one", "rook-box")], PaperOptions()))
    assert "Also: Mate in one move (1)" in " ".join(printed.texts(tmp_path / "mixed.pdf")[0].split())
    (tmp_path / "plain.pdf").write_bytes(key_pdf([sheet_of("rook-box")], PaperOptions()))
    assert "Also:" not in printed.texts(tmp_path / "plain.pdf")[0]


@pytest.mark.parametrize("size", PaperSize)
def test_long_titles_and_many_units_stay_whole_within_the_margins(tmp_path: Path, size: PaperSize) -> None:
    units = [f"a-unit-with-a-long-name-{number}" for number in range(1, 10)]
    title = "A title that is as long as no title ever was before"
    sheet = replace(sheet_of(*units, "rook-box"), unit_title=title, code="RB-4K7M2-A", form="A")
    text = on_paper(tmp_path / "x.pdf", sheet, size=size)
    assert "a unit with a long name 9 (9)" in text
    page = printed.pixels(tmp_path / "x.pdf", 72, tmp_path)[0]
    assert min(printed.margins_mm(page, 72)[::2]) >= 13.3

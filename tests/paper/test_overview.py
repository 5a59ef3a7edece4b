from dataclasses import replace
from pathlib import Path

import pytest

from coachbook.model.print_options import PaperOptions, PaperSize
from coachbook.model.printed import GroupOverview
from coachbook.model.progress import Standing
from coachbook.paper.overview import overview_pdf, standing_tables
from coachbook.paper.page import frame_of
from coachbook.paper.sections import body_height
from tests.paper import printed
from tests.paper.report_samples import COLUMNS, LONG_NAMES, NAMES, UNITS, overview


def pages(path: Path, shown: GroupOverview) -> list[str]:
    path.write_bytes(overview_pdf(shown, PaperOptions()))
    return [" ".join(text.split()) for text in printed.texts(path)]


def test_a_group_of_twelve_has_table_slips_and_trend_on_one_page(tmp_path: Path) -> None:
    (text,) = pages(tmp_path / "o.pdf", overview())
    assert "Group overview: Foxes" in text
    assert all(name in text for name in NAMES)
    assert all(title in text for _, title, _ in UNITS)
    assert all(f"Level {level}" in text for level in range(1, 7))
    assert "stalemated 12 times The stalemate trap, Bring the king and mate" in text
    assert "10 Dec" in text


def test_every_cell_shows_its_standing(tmp_path: Path) -> None:
    pages(tmp_path / "o.pdf", overview())
    uses = printed.uses_of_forms(tmp_path / "o.pdf")
    for standing in (Standing.WORKING, Standing.SECURE, Standing.FADING):
        wanted = sum(standings.count(standing) for _, standings in overview().rows)
        found = sum(count for name, count in uses.items() if name.startswith(f"standing-{standing}-"))
        assert found == wanted + 1, "the table and the legend"


@pytest.mark.parametrize("size", PaperSize)
@pytest.mark.parametrize("names", [LONG_NAMES, LONG_NAMES[:1]])
@pytest.mark.parametrize("units", [1, 27])
def test_forty_students_and_all_units_are_one_table(
    size: PaperSize, names: tuple[str, ...], units: int
) -> None:
    frame = frame_of(size)
    (table,) = standing_tables(overview(names, units), frame.width, body_height(frame))
    assert table.height <= body_height(frame)


def test_what_one_page_cannot_hold_goes_on_over_others(tmp_path: Path) -> None:
    many = tuple(replace(column, code=f"u{i}", title=f"Unit {i}.") for i, column in enumerate(COLUMNS * 3))
    steps = tuple(Standing.WORKING if i % 9 == 0 else Standing.NEW for i in range(len(many)))
    rows = tuple((f"Student {i}.", steps) for i in range(100))
    found = pages(tmp_path / "o.pdf", replace(overview(), units=many, rows=rows))
    tables = [text for text in found if "Student" in text]
    beside = {sum(name in text for text in tables) for name, _ in rows}
    above = {sum(column.title in text for text in tables) for column in many}
    assert (beside, above) == ({3}, {len(tables) // 3})
    assert len(tables) > 3
    uses = printed.uses_of_forms(tmp_path / "o.pdf")
    working = sum(n for name, n in uses.items() if name.startswith("standing-working"))
    assert working == len(rows) * steps.count(Standing.WORKING) + len(tables)


def test_an_empty_group_says_so(tmp_path: Path) -> None:
    (text,) = pages(tmp_path / "o.pdf", replace(overview(), rows=(), slips=(), trend=()))
    assert "No student is in this group yet." in text
    assert "No evening yet." in text
    assert "What goes wrong" not in text


def test_before_the_first_evening_the_table_is_blank(tmp_path: Path) -> None:
    rows = tuple((name, (Standing.NEW,) * 27) for name in NAMES)
    (text,) = pages(tmp_path / "o.pdf", replace(overview(), rows=rows, slips=(), trend=()))
    assert "No evening yet." in text
    assert all(name in text for name in NAMES)


def test_a_narrow_level_is_headed_by_its_number_alone(tmp_path: Path) -> None:
    (tmp_path / "o.pdf").write_bytes(overview_pdf(overview(units=1), PaperOptions()))
    assert "Level" not in printed.texts(tmp_path / "o.pdf")[0]


def test_nothing_is_in_smaller_type_than_can_be_read(tmp_path: Path) -> None:
    pages(tmp_path / "o.pdf", overview())
    # Turned text counts as 0 here; it is as large as the legend's.
    sizes = [size for _, size in printed.sized_texts(tmp_path / "o.pdf")]
    assert min(size for size in sizes if size) >= 7

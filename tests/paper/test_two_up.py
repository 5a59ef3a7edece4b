"""Two pages side by side on one: smaller, whole, and readable."""

import subprocess
from dataclasses import replace
from pathlib import Path
from typing import cast

import pytest
from pypdf import PdfReader
from pypdf.generic import Destination

from coachbook.errors import CoachbookError
from coachbook.model.print_options import PaperOptions, PaperSize
from coachbook.paper.bundle import Part, pieces_of, printer_pdf
from coachbook.paper.flow import Block
from coachbook.paper.page import MM, frame_of, half_page
from coachbook.paper.play_out_cards import cards_pdf
from coachbook.paper.sheet_cells import ItemCells
from coachbook.paper.sheet_layout import Area
from coachbook.paper.sheet_pages import laid_out, worksheets_pdf
from tests.paper import printed, samples

TWO_UP = PaperOptions(two_up=True)
NAMES = ("Ada", "Bo", "Cy")


def parts(options: PaperOptions = TWO_UP, items: int = 8) -> list[Part]:
    """Something of the coach's of a page, three copies of a sheet of two, two pages of cards."""
    one = worksheets_pdf([(samples.worksheet(2), "")], options)
    copies = worksheets_pdf([(samples.every_form(items), name) for name in NAMES], options)
    cards = cards_pdf([samples.card(number) for number in range(1, 6)], options)
    return [
        Part("Register", one, for_coach=True),
        Part("Lesson", one, for_coach=True),
        Part("Sheets", copies),
        Part("Cards", cards, loose=True),
    ]


def test_what_goes_into_one_hand_is_a_piece() -> None:
    assert pieces_of(parts()) == (2, 2, 2, 2, 1, 1)
    assert pieces_of(parts(), {"Sheets": [1, 1, 3]}) == (2, 1, 1, 3, 1, 1)
    assert pieces_of(parts(), two_sides=True) == (1, 1, 2, 2, 2, 1, 1)


@pytest.mark.parametrize("size", PaperSize)
def test_two_pages_stand_on_one_of_the_same_paper_with_all_that_was_on_them(
    tmp_path: Path, size: PaperSize
) -> None:
    options = PaperOptions(size, two_up=True)
    document, used = printer_pdf(parts(options), "Evening", options)
    (tmp_path / "x.pdf").write_bytes(document)
    pages = printed.texts(tmp_path / "x.pdf")
    assert len(pages) == used.pages == used.leaves == 5
    for page, name in zip(pages[1:4], NAMES, strict=True):
        assert name in page and "page 1 of 2" in page and "page 2 of 2" in page
    usual = printer_pdf(parts(options), "Evening", replace(options, two_up=False))[0]
    (tmp_path / "usual.pdf").write_bytes(usual)
    before = " ".join(printed.texts(tmp_path / "usual.pdf")).split()
    assert sorted(" ".join(pages).split()) == sorted(before)
    box, was = (PdfReader(tmp_path / name).pages[0].mediabox for name in ("x.pdf", "usual.pdf"))
    assert (box.width, box.height) == (pytest.approx(was.height, abs=0.1), pytest.approx(was.width, abs=0.1))


def test_the_table_of_contents_leads_to_the_pages_of_the_file(tmp_path: Path) -> None:
    (tmp_path / "x.pdf").write_bytes(printer_pdf(parts(), "Evening", TWO_UP)[0])
    reader = PdfReader(tmp_path / "x.pdf")
    flat = [*reader.outline[:3], *cast("list[Destination]", reader.outline[3]), *reader.outline[4:]]
    entries = [entry for entry in flat if isinstance(entry, Destination)]
    places = [
        (str(entry.title).split(" - ")[0], reader.get_destination_page_number(entry)) for entry in entries
    ]
    assert places == [
        ("Register", 0), ("Lesson", 0), ("Sheets", 1), ("Ada", 1), ("Bo", 2), ("Cy", 3), ("Cards", 4)
    ]  # fmt: skip


@pytest.mark.parametrize("two_sides", [False, True])
def test_the_same_papers_give_the_same_bytes(two_sides: bool) -> None:
    options = replace(TWO_UP, two_sides=two_sides)
    one, two = (printer_pdf(parts(options), "Evening", options)[0] for _ in range(2))
    assert one == two


def test_on_both_sides_each_piece_begins_on_a_new_leaf(tmp_path: Path) -> None:
    options = PaperOptions(two_sides=True)
    document, used = printer_pdf(parts(PaperOptions(), items=5), "Evening", options)
    (tmp_path / "x.pdf").write_bytes(document)
    pages = printed.texts(tmp_path / "x.pdf")
    assert [number for number, page in enumerate(pages) if "page 1 of" in page] == [0, 2, 4, 6, 8]
    assert used.leaves == 7


@pytest.mark.parametrize("size", PaperSize)
@pytest.mark.parametrize("boards", [1, 2, 4, 6])
def test_no_board_is_smaller_than_25_mm_on_paper(
    monkeypatch: pytest.MonkeyPatch, size: PaperSize, boards: int
) -> None:
    asked: list[float] = []
    cell = ItemCells.cell

    def looked_at(items: ItemCells, index: int, area: Area, smallest: float) -> Block:
        asked.append(smallest)
        return cell(items, index, area, smallest)

    monkeypatch.setattr(ItemCells, "cell", looked_at)
    options = PaperOptions(size, boards_a_page=boards, two_up=True)
    assert laid_out(samples.every_form(9), frame_of(size), options)
    assert min(asked) * half_page(size).scale >= 25 * MM - 0.01


@pytest.mark.parametrize(
    ("options", "told"),
    [({"boards_a_page": 9}, "9 boards a page are too small"), ({"large_print": True}, "Large print is not")],
)
def test_what_children_could_not_read_is_refused(options: dict[str, int], told: str) -> None:
    with pytest.raises(CoachbookError, match=told):
        replace(TWO_UP, **options)  # type: ignore[arg-type]


def test_the_code_can_be_scanned(tmp_path: Path) -> None:
    zbarimg = printed.tool("zbarimg")
    part = Part("", worksheets_pdf([(samples.worksheet(1), "Ada")], TWO_UP))
    (tmp_path / "x.pdf").write_bytes(printer_pdf([part], "Sheets", TWO_UP)[0])
    printed.pixels(tmp_path / "x.pdf", 300, tmp_path)
    scan = next(tmp_path.glob("page-*"))
    found = subprocess.run([zbarimg, "-q", "--raw", str(scan)], capture_output=True, text=True, check=True)
    assert found.stdout.split() == ["Q2-0114-K7"]

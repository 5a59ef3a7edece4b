from pathlib import Path

import pytest
from pypdf import PdfReader

from coachbook.model.print_options import PaperOptions, PaperSize
from coachbook.paper.certificate import aim_blocks, certificate_pdf
from tests.paper import printed
from tests.paper.report_samples import AIMS, LONG_NAME, NAMES, certificate


@pytest.mark.parametrize("size", PaperSize)
def test_a_certificate_is_one_page_in_landscape(tmp_path: Path, size: PaperSize) -> None:
    (tmp_path / "c.pdf").write_bytes(certificate_pdf(certificate(), PaperOptions(size)))
    (page,) = PdfReader(tmp_path / "c.pdf").pages
    assert page.mediabox.width > page.mediabox.height


@pytest.mark.parametrize("name", [*NAMES, LONG_NAME, "W" * 60])
def test_it_names_the_student_the_level_and_what_was_shown(tmp_path: Path, name: str) -> None:
    (tmp_path / "c.pdf").write_bytes(certificate_pdf(certificate(name), PaperOptions()))
    (text,) = printed.texts(tmp_path / "c.pdf")
    told = " ".join(text.split())
    for words in (name, "has completed", "Mate, not stalemate", "Thu 10 Dec 2026", "Coach"):
        assert words in told
    assert all(aim in told for aim in AIMS[:4])


@pytest.mark.parametrize("name", [*NAMES, LONG_NAME])
def test_the_name_is_large(tmp_path: Path, name: str) -> None:
    (tmp_path / "c.pdf").write_bytes(certificate_pdf(certificate(name, 9), PaperOptions()))
    sizes = [size for text, size in printed.sized_texts(tmp_path / "c.pdf") if text.strip()[:5] in name]
    assert max(sizes) >= (26 if name == LONG_NAME else 48)


def test_a_king_and_a_queen_of_either_colour_stand_in_the_corners(tmp_path: Path) -> None:
    (tmp_path / "c.pdf").write_bytes(certificate_pdf(certificate(), PaperOptions()))
    uses = printed.uses_of_forms(tmp_path / "c.pdf")
    assert uses == {"piece-wk": 1, "piece-wq": 1, "piece-bk": 1, "piece-bq": 1}


def test_without_aims_it_is_still_one_page(tmp_path: Path) -> None:
    (tmp_path / "c.pdf").write_bytes(certificate_pdf(certificate(aims=0), PaperOptions()))
    assert len(printed.texts(tmp_path / "c.pdf")) == 1


def test_each_aim_has_the_day_on_which_it_was_earned_before_it(tmp_path: Path) -> None:
    (tmp_path / "c.pdf").write_bytes(certificate_pdf(certificate(aims=2), PaperOptions()))
    (text,) = printed.texts(tmp_path / "c.pdf")
    assert text.count("10 Dec 2026: I can") == 2


def test_aims_that_find_no_room_are_counted() -> None:
    blocks = aim_blocks(AIMS * 4, 600, 120)
    assert sum(block.height for block in blocks) <= 120
    assert 5 < len(blocks) < 36
    whole = aim_blocks(AIMS, 600, 200)
    assert len(whole) == len(AIMS)


def test_words_keep_clear_of_the_foot_however_many_aims(tmp_path: Path) -> None:
    long = certificate(LONG_NAME, 9)
    (tmp_path / "c.pdf").write_bytes(certificate_pdf(long, PaperOptions(PaperSize.LETTER)))
    heights: dict[str, float] = {}

    def visit(text: str, matrix: list[float], text_matrix: list[float], *_: object) -> None:
        if text.strip():
            heights[text.strip()] = text_matrix[5] + matrix[5]

    PdfReader(tmp_path / "c.pdf").pages[0].extract_text(visitor_text=visit)
    lowest = min(y for text, y in heights.items() if "I can" in text)
    assert lowest > heights["Thu 10 Dec 2026"] + 14

from collections.abc import Sequence
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st
from pypdf import PdfReader

from coachbook.model.print_options import PaperOptions, PaperSize
from coachbook.paper.evening_pack import head_lines, register_pdf
from coachbook.paper.text import text_width
from tests.paper import printed
from tests.paper.report_samples import CLUB, LONG_NAMES, NAMES, TODAY

COLUMNS = ("sheet", "play-out")


def pages(
    path: Path,
    students: Sequence[str],
    columns: Sequence[str] = COLUMNS,
    size: PaperSize = PaperSize.A4,
    group: str = "Foxes",
) -> list[str]:
    path.write_bytes(register_pdf(CLUB, group, TODAY, students, columns, PaperOptions(size)))
    return [" ".join(text.split()) for text in printed.texts(path)]


def boxes(path: Path) -> int:
    """Tick boxes on all pages: the only rectangles of a register."""
    contents = [page.get_contents() for page in PdfReader(path).pages]
    return sum(content.get_data().split().count(b"re") for content in contents if content is not None)


def test_it_has_every_student_with_a_number_in_the_order_given(tmp_path: Path) -> None:
    (text,) = pages(tmp_path / "r.pdf", NAMES)
    assert "Register: Foxes" in text
    assert "Thu 10 Dec 2026" in text
    assert "Name Here" in text
    rows = " ".join(f"{i} {name}" for i, name in enumerate(NAMES, start=1))
    assert rows in text
    assert all(column in text for column in (*COLUMNS, "Notes"))


@pytest.mark.parametrize("students", [(), NAMES[:1], NAMES, LONG_NAMES])
def test_there_are_lines_for_guests(tmp_path: Path, students: Sequence[str]) -> None:
    pages(tmp_path / "r.pdf", students)
    assert boxes(tmp_path / "r.pdf") == max(12, len(students) + 3)


@pytest.mark.parametrize("size", PaperSize)
@pytest.mark.parametrize("columns", [(), COLUMNS, ("paid for the tournament",) * 6])
def test_forty_students_fit_on_one_page(tmp_path: Path, size: PaperSize, columns: Sequence[str]) -> None:
    (text,) = pages(tmp_path / "r.pdf", LONG_NAMES, columns, size)
    assert all(name in text for name in LONG_NAMES)


def test_a_long_name_is_readable_where_few_columns_leave_room(tmp_path: Path) -> None:
    pages(tmp_path / "r.pdf", LONG_NAMES)
    sizes = [size for text, size in printed.sized_texts(tmp_path / "r.pdf") if text.strip() in LONG_NAMES]
    assert len(sizes) == len(LONG_NAMES)
    assert min(sizes) >= 8.5


def test_more_go_on_with_their_numbers_and_guests_come_last(tmp_path: Path) -> None:
    names = [f"Student {i}." for i in range(1, 91)]
    found = pages(tmp_path / "r.pdf", names)
    assert len(found) == 3
    assert "41 Student 41." in found[1]
    assert "page 3 of 3" in found[2]
    assert boxes(tmp_path / "r.pdf") == 90 + 3


def test_without_a_group_it_is_just_a_register(tmp_path: Path) -> None:
    (text,) = pages(tmp_path / "r.pdf", NAMES, group="")
    assert "Register:" not in text


@given(st.text("abcdefghij ", min_size=1, max_size=60), st.floats(10, 60))
def test_a_head_is_whole_in_at_most_three_lines(words: str, width: float) -> None:
    lines, size = head_lines(words, width)
    assert " ".join(" ".join(lines).split()) == " ".join(words.split())
    assert len(lines) <= 3
    assert len(lines) == 1 or max(text_width(line, size) for line in lines) <= width

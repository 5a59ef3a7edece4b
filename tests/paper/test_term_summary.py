from dataclasses import replace
from pathlib import Path

import pytest

from coachbook.model.print_options import PaperOptions, PaperSize
from coachbook.model.printed import TermSummary
from coachbook.paper.term_summary import share_in_words, term_summary_pdf
from tests.paper import printed
from tests.paper.report_samples import NAMES, UNITS, empty_summary, summary


def pages(path: Path, value: TermSummary, size: PaperSize = PaperSize.A4) -> list[str]:
    path.write_bytes(term_summary_pdf(value, PaperOptions(size)))
    return [" ".join(text.split()) for text in printed.texts(path)]


def test_the_whole_syllabus_fits_on_one_page(tmp_path: Path) -> None:
    (text,) = pages(tmp_path / "t.pdf", summary())
    assert all(title in text for _, title, _ in UNITS)
    for words in (
        "Thu 10 Sept 2026 to Thu 10 Dec 2026",
        "241 of 286 (84 %)",
        "812 of 1,040 (78 %)",
        "29 of 44 (66 %)",
        "Is the game over? 6 18 23 70 of 96",
        "stalemated 12 times",
    ):
        assert words in text


def test_the_students_counted_are_those_without_a_group_too(tmp_path: Path) -> None:
    (text,) = pages(tmp_path / "t.pdf", summary())
    assert "students, in a group or not" in text


def test_no_name_is_on_it(tmp_path: Path) -> None:
    (text,) = pages(tmp_path / "t.pdf", summary())
    assert not any(name in text for name in NAMES)


def test_units_that_nobody_began_are_counted_not_listed(tmp_path: Path) -> None:
    (text,) = pages(tmp_path / "t.pdf", summary(begun=15))
    assert "Not begun by anybody: 4 of the 27 units." in text
    assert "Mate with bishop and knight" not in text


def test_a_longer_table_goes_on_with_its_heads(tmp_path: Path) -> None:
    found = pages(tmp_path / "t.pdf", replace(summary(), units=summary().units * 2))
    assert len(found) == 2
    assert "Unit by unit, continued Level Unit Secure before Now Begun" in found[1]


def test_an_empty_term_is_told_without_dividing_by_nothing(tmp_path: Path) -> None:
    (text,) = pages(tmp_path / "t.pdf", empty_summary())
    assert text.count("none") == 3
    assert "There is no unit yet." in text
    (text,) = pages(tmp_path / "t.pdf", replace(empty_summary(), units=(summary().units[0],)))
    assert "Is the game over?" in text


def test_shares_are_in_whole_hundredths() -> None:
    assert share_in_words(2, 3) == "2 of 3 (67 %)"
    assert share_in_words(0, 0) == "none"


@pytest.mark.parametrize(("number", "ending"), [(0, "s"), (1, ""), (2, "s")])
def test_one_of_anything_is_told_in_the_singular(tmp_path: Path, number: int, ending: str) -> None:
    counted = replace(summary(), students=number, groups=number, evenings=number, units=(), slips=())
    done = replace(counted, tried=number, right=number, play_outs=number, play_outs_within=number)
    (text,) = pages(tmp_path / "t.pdf", done)
    text = text.replace(", in a group or not", "")
    for words in ("student{} ", "group{} ", "evening{} ", "answer{} right", "game{} played out"):
        assert words.format(ending) in text
        assert words.format("" if ending else "s") not in text


def test_one_unit_is_no_units(tmp_path: Path) -> None:
    alone = replace(summary().units[0], begun=0)
    (text,) = pages(tmp_path / "t.pdf", replace(summary(), units=(alone,)))
    assert "Not begun by anybody: 1 of the 1 unit." in text

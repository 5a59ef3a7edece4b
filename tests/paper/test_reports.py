"""What is true of every report: margins, greys, fonts, the same bytes, all or nothing."""

from collections.abc import Callable
from pathlib import Path

import pytest

from coachbook.errors import CoachbookError
from coachbook.model.printed import GroupOverview
from coachbook.paper.certificate import write_certificate
from coachbook.paper.evening_pack import write_register
from coachbook.paper.family_report import write_family_report
from coachbook.paper.overview import write_overview
from coachbook.paper.print_options import PaperOptions, PaperSize
from coachbook.paper.student_record import write_student_record
from coachbook.paper.term_summary import write_term_summary
from tests.paper import printed
from tests.paper import report_samples as samples

Write = Callable[[Path, PaperOptions], None]
LONG = samples.LONG_NAME
EMPTY = GroupOverview(samples.CLUB, "", samples.TODAY, samples.COLUMNS, (), (), ())

REPORTS: dict[str, Write] = {
    "overview": lambda path, options: write_overview(samples.overview(), path, options),
    "full overview": lambda path, options: write_overview(
        samples.overview(samples.LONG_NAMES, evenings=40), path, options
    ),
    "empty overview": lambda path, options: write_overview(EMPTY, path, options),
    "family": lambda path, options: write_family_report(samples.family(), path, options),
    "full family": lambda path, options: write_family_report(samples.family(LONG, 9), path, options),
    "certificate": lambda path, options: write_certificate(samples.certificate(LONG, 9), path, options),
    "summary": lambda path, options: write_term_summary(samples.summary(), path, options),
    "empty summary": lambda path, options: write_term_summary(samples.empty_summary(), path, options),
    "record": lambda path, options: write_student_record(samples.record(LONG), path, options),
    "empty record": lambda path, options: write_student_record(samples.empty_record(), path, options),
    "register": lambda path, options: write_register(
        samples.CLUB, LONG, samples.TODAY, samples.LONG_NAMES, ("sheet", "play-out"), path, options
    ),
    "every script": lambda path, options: write_register(
        samples.CLUB, "Foxes", samples.TODAY, samples.NAMES, (), path, options
    ),
}


@pytest.mark.parametrize("size", PaperSize)
@pytest.mark.parametrize("report", REPORTS)
def test_nothing_is_printed_in_the_margins(tmp_path: Path, report: str, size: PaperSize) -> None:
    REPORTS[report](tmp_path / "report.pdf", PaperOptions(size))
    printed.check_margins(tmp_path / "report.pdf", tmp_path)


@pytest.mark.parametrize("report", REPORTS)
def test_every_dot_is_black_white_or_grey(tmp_path: Path, report: str) -> None:
    REPORTS[report](tmp_path / "report.pdf", PaperOptions())
    printed.check_greys(tmp_path / "report.pdf", tmp_path)


@pytest.mark.parametrize("report", REPORTS)
def test_the_same_report_gives_the_same_bytes_with_all_fonts_in_them(tmp_path: Path, report: str) -> None:
    for name in ("one.pdf", "two.pdf"):
        REPORTS[report](tmp_path / name, PaperOptions())
    assert (tmp_path / "one.pdf").read_bytes() == (tmp_path / "two.pdf").read_bytes()
    assert all(printed.fonts(tmp_path / "one.pdf").values())


@pytest.mark.parametrize("report", REPORTS)
def test_a_report_that_cannot_be_written_leaves_nothing(tmp_path: Path, report: str) -> None:
    with pytest.raises(CoachbookError, match="cannot be written"):
        REPORTS[report](tmp_path / "nowhere" / "report.pdf", PaperOptions())
    assert not list(tmp_path.iterdir())


def test_no_sign_of_a_name_is_lost(tmp_path: Path) -> None:
    REPORTS["every script"](tmp_path / "report.pdf", PaperOptions())
    (text,) = printed.texts(tmp_path / "report.pdf")
    assert all(name in text for name in samples.NAMES)
    assert "\N{REPLACEMENT CHARACTER}" not in text

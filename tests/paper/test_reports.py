"""What is true of every report: fonts, the same bytes. Margins and greys: see test_margins."""

from collections.abc import Callable
from pathlib import Path

import pytest

from coachbook.model.print_options import PaperOptions
from coachbook.model.printed import GroupOverview
from coachbook.paper.certificate import certificate_pdf
from coachbook.paper.evening_pack import register_pdf
from coachbook.paper.family_report import family_report_pdf
from coachbook.paper.overview import overview_pdf
from coachbook.paper.student_record import student_record_pdf
from coachbook.paper.term_summary import term_summary_pdf
from tests.paper import printed
from tests.paper import report_samples as samples

Draw = Callable[[PaperOptions], bytes]
LONG = samples.LONG_NAME
EMPTY = GroupOverview(samples.CLUB, "", samples.TODAY, samples.COLUMNS, (), (), ())

REPORTS: dict[str, Draw] = {
    "overview": lambda options: overview_pdf(samples.overview(), options),
    "full overview": lambda options: overview_pdf(samples.overview(samples.LONG_NAMES, evenings=40), options),
    "empty overview": lambda options: overview_pdf(EMPTY, options),
    "family": lambda options: family_report_pdf(samples.family(), options),
    "full family": lambda options: family_report_pdf(samples.family(LONG, 9), options),
    "certificate": lambda options: certificate_pdf(samples.certificate(LONG, 9), options),
    "summary": lambda options: term_summary_pdf(samples.summary(), options),
    "empty summary": lambda options: term_summary_pdf(samples.empty_summary(), options),
    "record": lambda options: student_record_pdf(samples.record(LONG), options),
    "empty record": lambda options: student_record_pdf(samples.empty_record(), options),
    "register": lambda options: register_pdf(
        samples.CLUB, LONG, samples.TODAY, samples.LONG_NAMES, ("sheet", "play-out"), options
    ),
    "every script": lambda options: register_pdf(
        samples.CLUB, "Foxes", samples.TODAY, samples.NAMES, (), options
    ),
}


@pytest.mark.parametrize("report", REPORTS)
def test_the_same_report_gives_the_same_bytes_with_all_fonts_in_them(tmp_path: Path, report: str) -> None:
    one, two = (REPORTS[report](PaperOptions()) for _ in range(2))
    assert one == two
    (tmp_path / "one.pdf").write_bytes(one)
    assert all(printed.fonts(tmp_path / "one.pdf").values())


def test_no_sign_of_a_name_is_lost(tmp_path: Path) -> None:
    (tmp_path / "report.pdf").write_bytes(REPORTS["every script"](PaperOptions()))
    (text,) = printed.texts(tmp_path / "report.pdf")
    assert all(name in text for name in samples.NAMES)
    assert "\N{REPLACEMENT CHARACTER}" not in text

from datetime import date

import pytest

from coachbook.errors import CoachbookError
from coachbook.model.print_options import PaperOptions
from coachbook.paper.sheet_pages import worksheets_pdf
from coachbook.wording.counting import day_in_words


def test_printing_nothing_is_refused() -> None:
    with pytest.raises(CoachbookError, match="nothing to print"):
        worksheets_pdf([], PaperOptions())


def test_dates_are_in_words_whatever_the_machine_speaks() -> None:
    assert day_in_words(date(2025, 9, 3)) == "Wed 3 Sept 2025"

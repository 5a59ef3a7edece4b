import pytest

from coachbook.errors import CoachbookError
from coachbook.model.syllabus import Syllabus
from coachbook.workflows.standings import load_syllabus

SHIPPED: Syllabus = load_syllabus()


def test_every_unit_is_found_by_its_code_and_by_its_title_in_any_case() -> None:
    for unit in SHIPPED.units:
        for asked in (unit.code, unit.code.upper(), unit.title, unit.title.lower(), f" {unit.title} "):
            assert SHIPPED.unit(asked) is unit


def test_an_apostrophe_may_be_a_curly_one() -> None:
    assert SHIPPED.unit("The queen\N{RIGHT SINGLE QUOTATION MARK}s box").code == "queen-box"


@pytest.mark.parametrize(
    ("asked", "hint"),
    [("quen-box", "Did you mean queen-box?"), ("two big peaces", "Did you mean two-majors?")],
)
def test_a_slip_of_the_pen_is_told_what_may_be_meant(asked: str, hint: str) -> None:
    with pytest.raises(CoachbookError) as told:
        SHIPPED.unit(asked)
    assert str(told.value) == f"There is no unit '{asked}'. {hint}"


def test_what_is_like_no_unit_is_told_all_codes() -> None:
    with pytest.raises(CoachbookError, match="Choose one of: mate-or-stalemate, mate-in-one, "):
        SHIPPED.unit("#")

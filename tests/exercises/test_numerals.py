"""Numbers are read as children write them."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from coachbook.exercises.answers_read import read_number


@pytest.mark.parametrize(
    "written",
    [
        *("9", " 9 ", "9.", "9!", "= 9", "=9", "09", "9 squares", "9squares", "9 Squares.", "9 sq", "٩"),
        *("nine", "Nine", "NINE", "nine squares", "3x3=9", "3 x 3 = 9", "3*3=9", "3 by 3: 9 squares"),
        *("3 times 3 = 9", "3\N{MULTIPLICATION SIGN}3=9", "3 by 3: nine"),
    ],
)
def test_nine_is_understood(written: str) -> None:
    assert read_number(written) == 9


@pytest.mark.parametrize(
    ("written", "number"),
    [
        ("one square", 1),
        ("zero", 0),
        ("seventeen", 17),
        ("twenty", 20),
        ("thirty-six", 36),
        ("Thirty six squares", 36),
        ("sixty-four", 64),
    ],
)
def test_numbers_in_words_are_understood(written: str, number: int) -> None:
    assert read_number(written) == number


@pytest.mark.parametrize(
    "written",
    [
        "",
        "9 or 10",
        "about 9",
        "3 by 3",
        "3x3",
        "x",
        "9 9",
        "9,5",
        "9/10",
        "nine ten",
        "Qe5",
        "1000",
        "twentyx",
    ],
)
def test_what_is_no_number_or_leaves_a_doubt_is_none(written: str) -> None:
    assert read_number(written) is None


@given(st.integers(0, 999))
def test_every_number_is_read_back(number: int) -> None:
    assert read_number(f"{number} squares") == number


@given(st.text())
def test_any_text_is_a_number_or_none(written: str) -> None:
    number = read_number(written)
    assert number is None or 0 <= number <= 999

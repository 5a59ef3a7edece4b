import pytest
from hypothesis import given
from hypothesis import strategies as st

from coachbook.model.play_outs import card_code, read_card_code

units = st.from_regex(r"[a-z0-9]+(-[a-z0-9]+)*", fullmatch=True)


@given(units, st.integers(1, 99))
def test_a_card_code_is_read_back_as_written_in_small_letters_and_with_spaces(unit: str, number: int) -> None:
    code = card_code(unit, number)
    assert read_card_code(code) == (unit, number)
    assert read_card_code(f" {code.lower()}\n") == (unit, number)
    assert read_card_code(code.replace("-", "- ")) == (unit, number)


def test_a_card_code_is_as_it_was_first_printed() -> None:
    assert card_code("queen-box", 2) == "PLAY-QUEEN-BOX-2"


@pytest.mark.parametrize(
    "code",
    ["", "QB-4K7M2", "PLAY-4K7M2", "PLAY-4K7M2-A", "PLAY-2", "PLAY--2", "PLAY-Q-0", "PLAY-Q-02", "P-Q-1"],
)
def test_no_other_code_is_taken_for_a_card(code: str) -> None:
    assert read_card_code(code) is None

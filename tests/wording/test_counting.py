import pytest

from coachbook.wording.counting import counted, listed, number_word, plural, times


def test_one_is_singular_and_everything_else_plural() -> None:
    assert [counted(number, "evening") for number in (0, 1, 2)] == ["0 evenings", "1 evening", "2 evenings"]
    assert plural(3, "loss", "losses") == "losses"


@pytest.mark.parametrize(("number", "words"), [(1, "once"), (2, "twice"), (3, "3 times")])
def test_how_often_something_happened(number: int, words: str) -> None:
    assert times(number) == words


@pytest.mark.parametrize(
    ("items", "words"), [((), ""), (("a",), "a"), (("a", "b"), "a and b"), (("a", "b", "c"), "a, b and c")]
)
def test_the_last_of_a_list_is_joined_by_a_word(items: tuple[str, ...], words: str) -> None:
    assert listed(items) == words


def test_numbers_up_to_ten_are_words() -> None:
    assert [number_word(number) for number in (1, 10, 11)] == ["one", "ten", "11"]

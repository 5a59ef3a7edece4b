"""The club's letters are shown with their men before they are kept."""

import json
from collections.abc import Callable

import pytest

from tests.cli.drive import done, run

GERMAN = "King K, queen D, rook T, bishop L, knight S.\n"
SWAPPED = "King D, queen K, rook T, bishop L, knight S.\n"
ORDER = "The order is king, queen, rook, bishop, knight"
REFUSED = (
    "coachbook: DKTLS would mean king D, queen K, rook T, bishop L, knight S. Did you mean KDTLS?"
    f" {ORDER}. Give --yes if yours is right.\n"
)

pytestmark = pytest.mark.usefixtures("club")


def kept() -> str:
    return str(json.loads(done("club", "show", "--json"))["letters"])


def test_without_a_terminal_letters_are_shown_and_kept() -> None:
    assert done("club", "letters", "kdtls").startswith(GERMAN)
    assert kept() == "KDTLS"


def test_known_letters_in_another_order_are_refused_unless_the_coach_is_sure() -> None:
    refused = run("club", "letters", "DKTLS")
    assert (refused.code, refused.out, refused.err) == (2, "", REFUSED)
    assert kept() == ""
    assert done("club", "letters", "DKTLS", "--yes").startswith(SWAPPED)
    assert kept() == "DKTLS"


@pytest.mark.parametrize(
    ("letters", "typed", "told", "now"),
    [
        ("KDTLS", "\n", f"{GERMAN}Is that right? [Y/n] Answers are read with the letters KDTLS", "KDTLS"),
        ("KDTLS", "yes\n", f"{GERMAN}Is that right? [Y/n] Answers are read with the letters KDTLS", "KDTLS"),
        ("KDTLS", "what\nn\n", "Is that right? [Y/n] The letters stay as they were.", ""),
        (
            "XDTLS",
            "\n",
            "King X, queen D, rook T, bishop L, knight S.\nIs that right? [Y/n] Answers",
            "XDTLS",
        ),
        ("DKTLS", "\n", f"{SWAPPED}{ORDER}: did you mean KDTLS?\nIs that right? [y/N] The letters stay", ""),
        ("DKTLS", "y\n", "Is that right? [y/N] Answers are read with the letters DKTLS", "DKTLS"),
    ],
)
def test_at_a_terminal_it_is_asked(
    at_a_terminal: Callable[[], None], letters: str, typed: str, told: str, now: str
) -> None:
    at_a_terminal()
    assert told in done("club", "letters", letters, typed=typed)
    assert kept() == now


def test_nobody_is_asked_who_is_sure_or_wants_english_letters(at_a_terminal: Callable[[], None]) -> None:
    at_a_terminal()
    assert "[Y/n]" not in done("club", "letters", "KDTLS", "--yes")
    assert done("club", "letters", "none") == "Answers are read with English letters.\n"
    assert kept() == ""


def test_a_question_that_is_broken_off_keeps_nothing(at_a_terminal: Callable[[], None]) -> None:
    at_a_terminal()
    stopped = run("club", "letters", "KDTLS", typed="")
    assert stopped.code != 0
    assert "The letters stay as they were." in stopped.err
    assert kept() == ""

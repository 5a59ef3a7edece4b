"""The club's letters are shown with their men, beside those before, before they are kept."""

import json
from collections.abc import Callable

import pytest

from tests.cli.drive import done, run

BEFORE = "Before:  king K, queen Q, rook R, bishop B, knight N.\n"
GERMAN = f"Letters: king K, queen D, rook T, bishop L, knight S.\n{BEFORE}"
UNKNOWN = f"Letters: king X, queen D, rook T, bishop L, knight S.\n{BEFORE}"
SWAPPED = (
    f"Letters: king D, queen K, rook T, bishop L, knight S.\n{BEFORE}"
    "Careful: K means the queen; in English letters it is the king.\n"
    "Careful: king and queen look swapped. The king comes first, then the queen.\n"
)
ORDER = "The order is king, queen, rook, bishop, knight"
REFUSED = (
    "coachbook: DKTLS would mean king D, queen K, rook T, bishop L, knight S. Did you mean KDTLS?"
    f" {ORDER}. Give --yes if yours is right.\n"
)
SET = ("club", "set", "--letters")

pytestmark = pytest.mark.usefixtures("club")


def kept() -> str:
    return str(json.loads(done("club", "show", "--json"))["letters"])


def test_without_a_terminal_letters_are_shown_and_kept() -> None:
    assert done(*SET, "kdtls").startswith(GERMAN)
    assert kept() == "KDTLS"


def test_known_letters_in_another_order_are_refused_unless_the_coach_is_sure() -> None:
    refused = run(*SET, "DKTLS")
    assert (refused.code, refused.out, refused.err) == (2, "", REFUSED)
    assert kept() == ""
    assert done(*SET, "DKTLS", "--yes").startswith(SWAPPED)
    assert kept() == "DKTLS"


@pytest.mark.parametrize(
    ("letters", "typed", "told", "now"),
    [
        ("KDTLS", "\n", f"{GERMAN}Is that right? [Y/n] Letters: KDTLS (was English", "KDTLS"),
        ("KDTLS", "yes\n", f"{GERMAN}Is that right? [Y/n] Letters: KDTLS (was English", "KDTLS"),
        ("KDTLS", "what\nn\n", "Is that right? [Y/n] Nothing was changed.", ""),
        ("XDTLS", "\n", f"{UNKNOWN}Is that right? [Y/n] Letters: XDTLS", "XDTLS"),
        ("DKTLS", "\n", f"{SWAPPED}{ORDER}: did you mean KDTLS?\nIs that right? [y/N] Nothing", ""),
        ("DKTLS", "y\n", "Is that right? [y/N] Letters: DKTLS", "DKTLS"),
        ("DKXYZ", "n\n", "Careful: king and queen look swapped.", ""),
        ("RDTFC", "\n", "Careful: R means the king; in English letters it is the rook.", "RDTFC"),
    ],
)
def test_at_a_terminal_it_is_asked(
    at_a_terminal: Callable[[], None], letters: str, typed: str, told: str, now: str
) -> None:
    at_a_terminal()
    assert told in done(*SET, letters, typed=typed)
    assert kept() == now


def test_nobody_is_asked_who_is_sure_or_wants_english_letters(at_a_terminal: Callable[[], None]) -> None:
    at_a_terminal()
    assert "[Y/n]" not in done(*SET, "KDTLS", "--yes")
    assert done(*SET, "none") == "Letters: English (KQRBN) (was KDTLS).\n"
    assert kept() == ""


def test_a_question_that_is_broken_off_keeps_nothing(at_a_terminal: Callable[[], None]) -> None:
    at_a_terminal()
    stopped = run(*SET, "KDTLS", "--paper", "letter", typed="")
    assert stopped.code != 0
    assert "Nothing was changed." in stopped.err
    assert kept() == ""


def test_the_old_spelling_still_works_and_names_the_new_one() -> None:
    ran = run("club", "letters", "KDTLS")
    assert (ran.code, ran.err) == (0, "'club letters' is now: coachbook club set --letters KDTLS\n")
    assert kept() == "KDTLS"
    assert "letters" not in done("club", "-h")

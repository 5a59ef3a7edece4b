"""Paper in words: how much of it something takes, how dates look, and what is said of letters."""

from collections.abc import Sequence

from coachbook.model.settings import DateStyle
from coachbook.wording.counting import counted, listed

CUT_IN_HALF = "Print on both sides, turned over the short edge, and cut the leaves down the middle."
"""How two pages side by side are printed on both sides."""


def paper_in_words(leaves: int, pages: int) -> str:
    """Such as "12 leaves of paper, 18 pages"."""
    return f"{counted(leaves, 'leaf', 'leaves')} of paper, {counted(pages, 'page')}"


def cheaper_in_words(leaves: int, *, two_sides: bool, two_up: bool, boards: int) -> str:
    """Such as "6 leaves with two pages side by side and both sides printed"; `boards` are those of a page, 0
    for as many as now."""
    ways = (
        two_up and "two pages side by side",
        two_sides and "both sides printed",
        boards and f"up to {counted(boards, 'board')} on a page",
    )
    return f"{counted(leaves, 'leaf', 'leaves')} with {listed(filter(None, ways))}"


DATES_LOOK = {
    DateStyle.USUAL: "2027-01-12; on paper 12 Jan 2027",
    DateStyle.ISO: "2027-01-12",
    DateStyle.DAY_FIRST: "12 Jan 2027",
    DateStyle.MONTH_FIRST: "Jan 12, 2027",
}

ROYALS_LOOK_SWAPPED = "Careful: king and queen look swapped. The king comes first, then the queen."


def letter_means_another(letter: str, man: str, english: str) -> str:
    """Of a letter that stands for another man than in English."""
    return f"Careful: {letter} means the {man}; in English letters it is the {english}."


_MOST_LETTERS = 20


def lacking_in_words(letters: Sequence[str]) -> str:
    """In one line; "" if there is none."""
    if not letters:
        return ""
    more = f" and {len(letters) - _MOST_LETTERS} more" if len(letters) > _MOST_LETTERS else ""
    return (
        f"No font of coachbook's has {' '.join(letters[:_MOST_LETTERS])}{more}:"
        " on paper a question mark stands for each."
    )

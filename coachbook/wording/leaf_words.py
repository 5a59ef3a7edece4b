"""How much paper something takes, and what would take less, in English."""

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

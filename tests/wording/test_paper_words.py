"""How much paper is taken, and what would take less."""

from coachbook.wording.paper_words import cheaper_in_words, paper_in_words


def test_leaves_and_pages_are_counted_apart() -> None:
    assert paper_in_words(1, 2) == "1 leaf of paper, 2 pages"
    assert paper_in_words(12, 12) == "12 leaves of paper, 12 pages"


def test_each_way_to_save_paper_is_named() -> None:
    told = cheaper_in_words(6, two_sides=True, two_up=True, boards=0)
    assert told == "6 leaves with two pages side by side and both sides printed"
    told = cheaper_in_words(1, two_sides=False, two_up=False, boards=9)
    assert told == "1 leaf with up to 9 boards on a page"

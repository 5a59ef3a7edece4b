"""Slips are told in good English."""

import pytest

from coachbook.model.slips import Slip, slip_family, slower, slower_by
from coachbook.wording.slips import HAPPENED, slip_and_count, slip_in_words, slips_in_words


@pytest.mark.parametrize(
    ("slip", "count", "words"),
    [
        (Slip.STALEMATE, 1, "stalemated once"),
        (Slip.STALEMATE, 2, "stalemated twice"),
        (Slip.STALEMATE, 3, "stalemated 3 times"),
        (Slip.NOT_TRIED, 1, "left 1 blank"),
        (Slip.NOT_TRIED, 4, "left 4 blank"),
        (Slip.MISREAD_SIDE, 1, "misread the side to move once"),
        (Slip.BOX_GREW, 2, "let the box grow twice"),
        (Slip.MISSED_SMALLER_BOX, 3, "missed a smaller box 3 times"),
        (slower(1), 1, "was slower than need be once"),
        (slower(12), 2, "was slower than need be twice"),
        ("a new slip", 2, "a new slip twice"),
    ],
)
def test_a_slip_is_told_with_its_count(slip: str, count: int, words: str) -> None:
    assert slip_and_count(slip, count) == words


def test_every_slip_can_be_told() -> None:
    assert set(HAPPENED) == set(Slip)
    assert not [slip for slip in Slip if "{" in slip_and_count(slip, 2)]


def test_the_most_frequent_slip_comes_first() -> None:
    assert slips_in_words(["missed mate", "stalemate", "stalemate"]) == "stalemated twice, missed a mate once"
    assert slips_in_words([]) == ""


def test_slower_wins_are_told_together_however_much_slower_they_are() -> None:
    slips = [slower(3), "stalemate", slower(1), Slip.NOT_QUICKEST, "stalemate"]
    assert slips_in_words(slips) == "was slower than need be 3 times, stalemated twice"


def test_a_slower_win_has_a_code_that_says_by_how_much() -> None:
    assert [slower_by(slower(moves)) for moves in (1, 2, 30)] == [1, 2, 30]
    assert [slower_by(slip) for slip in (Slip.NOT_QUICKEST, "stalemate", "slower:a mile")] == [None] * 3
    assert [slip_in_words(slower(moves)) for moves in (1, 2)] == ["slower by 1 move", "slower by 2 moves"]
    assert {slip_family(slower(moves)) for moves in (1, 2, 30)} == {Slip.NOT_QUICKEST}
    assert [slip_family(slip) for slip in ("", "stalemate", "slower:a mile")] == [
        "",
        "stalemate",
        "slower:a mile",
    ]

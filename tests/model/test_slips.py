"""Slips are told in good English."""

import pytest

from coachbook.model.slips import TOLD, Slip, tell_slip, tell_slips


@pytest.mark.parametrize(
    ("slip", "count", "words"),
    [
        (Slip.STALEMATE, 1, "stalemated once"),
        (Slip.STALEMATE, 2, "stalemated twice"),
        (Slip.STALEMATE, 3, "stalemated 3 times"),
        (Slip.NOT_TRIED, 1, "left 1 blank"),
        (Slip.NOT_TRIED, 4, "left 4 blank"),
        ("a new slip", 2, "a new slip twice"),
    ],
)
def test_a_slip_is_told_with_its_count(slip: str, count: int, words: str) -> None:
    assert tell_slip(slip, count) == words


def test_every_slip_can_be_told() -> None:
    assert set(TOLD) == set(Slip)
    assert not [slip for slip in Slip if "{" in tell_slip(slip, 2)]


def test_the_most_frequent_slip_comes_first() -> None:
    assert tell_slips(["missed mate", "stalemate", "stalemate"]) == "stalemated twice, missed a mate once"
    assert tell_slips([]) == ""

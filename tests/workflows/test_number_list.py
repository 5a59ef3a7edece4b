"""Numbers of items and lines, as a coach reads them."""

import pytest

from coachbook.workflows.typed_answers import counted_off


@pytest.mark.parametrize(
    ("numbers", "told"),
    [
        ([3], "item 3"),
        ([5, 4], "items 4 and 5"),
        ([3, 4, 5], "items 3 to 5"),
        ([9, 2, 4, 7, 8], "items 2, 4 and 7 to 9"),
        ([1, 2, 3, 7], "items 1 to 3 and 7"),
        ([1, 2, 4], "items 1, 2 and 4"),
    ],
)
def test_three_in_a_row_are_told_by_the_first_and_the_last(numbers: list[int], told: str) -> None:
    assert counted_off("item", numbers) == told

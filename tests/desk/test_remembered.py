"""What came of a button is remembered by its key, and for a while only."""

from uuid import uuid4

import pytest

from coachbook.desk.remembered import Outcomes
from coachbook.errors import CoachbookError


def test_an_outcome_is_found_by_its_number_and_kind() -> None:
    outcomes, number = Outcomes(), str(uuid4())
    assert outcomes.find(number, str) is None
    outcomes.keep(number, "closed")
    assert outcomes.get(number, str) == "closed"
    assert outcomes.find(number, int) is None
    with pytest.raises(CoachbookError, match="a while ago"):
        outcomes.get(number, int)


def test_old_outcomes_are_forgotten() -> None:
    outcomes, numbers = Outcomes(), [str(uuid4()) for _ in range(101)]
    for number in numbers:
        outcomes.keep(number, number)
    assert outcomes.find(numbers[0], str) is None
    assert outcomes.find(numbers[1], str) == numbers[1]


def test_an_outcome_without_a_number_gets_one_of_its_own() -> None:
    outcomes = Outcomes()
    first, second = outcomes.add("one"), outcomes.add("two")
    assert (outcomes.get(first, str), outcomes.get(second, str)) == ("one", "two")

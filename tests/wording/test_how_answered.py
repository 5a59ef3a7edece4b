"""Each kind of exercise says how it is answered, as one hands out the first sheet that has it."""

import pytest

from coachbook.exercises.kinds import kind_names
from coachbook.wording import how_answered as words


@pytest.mark.parametrize("kind", kind_names())
def test_every_kind_says_how_it_is_answered(kind: str) -> None:
    told = words.how_answered(kind)
    assert told[0].islower()
    assert told.endswith(". Do one together first.")
    assert any(word in told for word in ("tick", "write", "shade", "mark", "cross"))
    assert "child" in told


def test_nothing_is_said_of_a_kind_that_is_none() -> None:
    with pytest.raises(KeyError):
        words.how_answered("no_kind")

from datetime import date

import pytest

from coachbook.model.facts import PlayOutEnd, PlayOutResult
from coachbook.model.syllabus import Goal


@pytest.mark.parametrize(
    ("goal", "ends"),
    [
        (Goal.WIN, {PlayOutEnd.MATE}),
        (Goal.DRAW, {PlayOutEnd.HELD, PlayOutEnd.DRAW, PlayOutEnd.STALEMATE, PlayOutEnd.MATE}),
    ],
)
def test_a_goal_is_reached_by_what_was_asked_for_or_better(goal: Goal, ends: set[PlayOutEnd]) -> None:
    fen = "8/8/8/8/4k3/8/8/K1Q5 w - - 0 1"
    results = [PlayOutResult("Ada", "queen-box", date(2025, 1, 14), fen, goal, 16, end) for end in PlayOutEnd]
    assert {result.end for result in results if result.reached} == ends

import pytest

from coachbook.errors import CoachbookError
from coachbook.workflows.own_positions import (
    OwnShownAll,
    offered,
    own_exercises,
    own_shown,
    positions_in,
    read_source,
    suiting_exercises,
)

MATES = "k7/8/1K6/8/8/8/8/7R w - - 0 1\n7k/5K2/8/8/8/8/8/6R1 w - - 0 1\n"


def test_each_position_is_told_before_it_is_looked_at() -> None:
    told: list[tuple[int, int, str]] = []
    assert len(offered(read_source(MATES), lambda *step: told.append(step))) == 2
    assert told == [(0, 2, "line 1"), (1, 2, "line 2")]
    assert len(own_exercises(read_source(MATES), "every_mate", "own", lambda *step: told.append(step))) == 2
    assert told[2:] == told[:2]


QUEEN, BLACKS = "8/8/8/4k3/8/8/8/KQ6 w - - 0 1", "8/8/8/8/3k4/8/3K4/q7 w - - 0 1"


def looked(*lines: str, letters: str = "KQRBN") -> OwnShownAll:
    return own_shown("\n".join(lines), letters, lambda *_: None)


def test_a_position_says_what_it_is_good_for_and_what_is_right_then() -> None:
    (shown,) = looked(QUEEN, letters="KDTLS").positions
    assert (shown.where, shown.text, shown.fault, shown.exchanged) == ("line 1", QUEEN, "", False)
    assert ("smallest_box", "the smallest box", "Dd3") in [
        (each.kind, each.title, each.answer) for each in shown.suits
    ]
    assert "mate in two" in dict(shown.unsuited)["the position does not suit it"]


def test_what_cannot_be_used_says_why() -> None:
    shown = looked("hello", "8/8/8/4k3/8/8/8/KQ6", QUEEN).positions
    assert [each.fault.split(":")[0] for each in shown] == [
        "it is neither FEN nor EPD",
        "it does not say who is to move",
        "",
    ]
    assert [each.position is None for each in shown] == [True, True, False]


def test_black_as_the_stronger_side_is_told() -> None:
    (shown,) = looked(BLACKS).positions
    assert shown.exchanged
    assert shown.position is not None
    assert shown.position.fen.startswith("Q7/3k4/8/3K4")


def test_kinds_are_counted_over_all_positions() -> None:
    found = looked(QUEEN, BLACKS, "8/8/8/3k4/8/8/8/KQ6 w - - 0 1")
    counts = {kind: count for kind, _, count in found.kinds}
    assert (counts["smallest_box"], counts["final_position"]) == (2, 1)


def test_exercises_are_made_of_those_that_suit_alone() -> None:
    (made,) = suiting_exercises(f"{QUEEN}\nhello\n{BLACKS}", "smallest_box", "queen-box")
    assert (made.position.fen, made.unit) == (QUEEN, "queen-box")
    with pytest.raises(CoachbookError, match="None of your positions suits this"):
        suiting_exercises(QUEEN, "no_such_kind", "queen-box")


def test_nothing_pasted_is_refused() -> None:
    with pytest.raises(CoachbookError, match="There is no position"):
        looked("", "# a remark")
    assert positions_in(QUEEN, "")

"""A position in the syllabus is legal, undecided, and of the unit's ending."""

import pytest

from coachbook.model.syllabus import Goal
from coachbook.syllabus.unit_rules import position_mistake


def test_a_legal_position_of_the_ending_has_no_mistake() -> None:
    assert position_mistake("8/8/4k3/8/3Q4/8/8/K7 w - - 0 1", ("KRK", "KQK")) == ""
    assert position_mistake("8/8/4k3/8/8/8/1Q6/K6R w - - 0 1", ("KQRK",)) == ""


@pytest.mark.parametrize(
    ("fen", "mistake"),
    [
        ("nonsense", "not a position in FEN"),
        ("8/8/4k3/8/3Q4/8/8/K7 w - e5 0 1", "not a position in FEN"),
        ("8/8/4k3/8/3Q4/8/8/K7 b - - 0 1", "Black is to move and to win, with a king alone"),
        ("8/8/4K3/8/3q4/8/8/k7 w - - 0 1", "the men are KKQ; this unit is about KQK"),
        ("8/8/8/8/3Q4/8/1k6/K7 w - - 0 1", "not legal"),
        ("8/8/4k3/8/8/8/8/K3Q3 w - - 0 1", "not legal"),
        ("4k3/8/8/8/8/8/8/R3K3 w Q - 0 1", "not legal"),
        ("8/8/4k3/8/8/8/8/K3N3 w - - 0 1", "the game is over"),
        ("8/8/4k3/8/3R4/8/8/K7 w - - 0 1", "the men are KRK; this unit is about KQK"),
    ],
)
def test_a_faulty_position_is_told_in_words(fen: str, mistake: str) -> None:
    assert mistake in position_mistake(fen, ("KQK",))


def test_a_lone_king_may_be_to_move_where_a_draw_is_the_goal() -> None:
    fen = "8/8/8/4k3/8/4K3/4P3/8 b - - 0 1"
    assert position_mistake(fen, ("KPK",), Goal.DRAW) == ""
    assert position_mistake(fen, ("KPK",), Goal.WIN).startswith("Black is to move and to win")


def test_black_may_be_to_move_and_win_with_more_than_a_king() -> None:
    assert position_mistake("8/8/8/8/2p5/8/6P1/K6k b - - 0 1", ("KPKP",), Goal.WIN) == ""

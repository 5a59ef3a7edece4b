"""What a coach says of the end of a play-out."""

import pytest

from coachbook.errors import CoachbookError
from coachbook.exercises.play_out_told import Told, check_count, read_told
from coachbook.model.club import PlayOutEnd
from coachbook.model.syllabus import Goal


@pytest.mark.parametrize(
    ("text", "end", "used"),
    [
        ("mated in 14", PlayOutEnd.MATE, 14),
        ("Mate in 14 moves.", PlayOutEnd.MATE, 14),
        ("mate 14", PlayOutEnd.MATE, 14),
        ("MATE, 14", PlayOutEnd.MATE, 14),
        ("#14", PlayOutEnd.MATE, 14),
        ("# 9", PlayOutEnd.MATE, 9),
        (" 14 ", PlayOutEnd.MATE, 14),
        ("14 moves", PlayOutEnd.MATE, 14),
        ("checkmate in 1 move", PlayOutEnd.MATE, 1),
        ("mated", PlayOutEnd.MATE, None),
        ("won", PlayOutEnd.MATE, None),
        ("stalemate", PlayOutEnd.STALEMATE, None),
        ("Stalemated on move 9", PlayOutEnd.STALEMATE, 9),
        ("draw", PlayOutEnd.DRAW, None),
        ("held", PlayOutEnd.DRAW, None),
        ("lost", PlayOutEnd.LOST, None),
        ("was mated", PlayOutEnd.LOST, None),
        ("lost the queen", PlayOutEnd.DRAW, None),
        ("lost his rook on move 3", PlayOutEnd.DRAW, 3),
        ("gave up", PlayOutEnd.GAVE_UP, None),
        ("Gave up after 20 moves", PlayOutEnd.GAVE_UP, 20),
        ("resigned", PlayOutEnd.GAVE_UP, None),
        ("not finished", PlayOutEnd.UNFINISHED, None),
        ("Unfinished after 30", PlayOutEnd.UNFINISHED, 30),
    ],
)
def test_words_tell_how_it_ended_for_who_was_to_win(text: str, end: PlayOutEnd, used: int | None) -> None:
    assert read_told(text, Goal.WIN) == Told(end, used)


@pytest.mark.parametrize(
    ("text", "end", "used"),
    [
        ("held", PlayOutEnd.HELD, None),
        ("held 20", PlayOutEnd.HELD, 20),
        ("Held for 20 moves", PlayOutEnd.HELD, 20),
        ("held the draw", PlayOutEnd.HELD, None),
        ("draw", PlayOutEnd.HELD, None),
        ("12", PlayOutEnd.HELD, 12),
        ("stalemate", PlayOutEnd.STALEMATE, None),
        ("lost the rook", PlayOutEnd.LOST, None),
        ("lost in 9", PlayOutEnd.LOST, 9),
        ("mated in 9", PlayOutEnd.LOST, 9),
        ("won", PlayOutEnd.MATE, None),
        ("gave up", PlayOutEnd.GAVE_UP, None),
    ],
)
def test_words_tell_how_it_ended_for_who_was_to_draw(text: str, end: PlayOutEnd, used: int | None) -> None:
    assert read_told(text, Goal.DRAW) == Told(end, used)


@pytest.mark.parametrize("goal", Goal)
@pytest.mark.parametrize(
    "text",
    ["", " . ", "Qe5", "1. Qe5 Kf7", "0", "mate in 0", "mate in 1000", "in 14", "Qh7#", "queen", "a draw?"],
)
def test_anything_else_tells_no_end(text: str, goal: Goal) -> None:
    assert read_told(text, goal) is None


@pytest.mark.parametrize("goal", Goal)
@pytest.mark.parametrize(
    ("text", "count"),
    [
        ("mated in 0", "0"),
        ("Mate in 0 moves.", "0"),
        ("#0", "0"),
        ("0", "0"),
        ("stalemate on move 0", "0"),
        ("gave up after 1000", "1000"),
        ("mated in 007", "007"),
        ("mated in -3", "-3"),
    ],
)
def test_a_number_of_moves_that_cannot_be_is_told(text: str, count: str, goal: Goal) -> None:
    assert read_told(text, goal) is None
    with pytest.raises(CoachbookError, match=f"A play-out of {count} moves cannot be"):
        check_count(text, goal)


@pytest.mark.parametrize("goal", Goal)
@pytest.mark.parametrize(
    "text", ["mated in 1", "won in 999", "mated", "1. Qe5 0-0", "Qe5", "0-1", "in 0", "", "0" * 20_000]
)
def test_other_words_have_no_wrong_number(text: str, goal: Goal) -> None:
    check_count(text, goal)

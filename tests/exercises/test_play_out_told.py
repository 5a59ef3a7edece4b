"""What a coach says of the end of a play-out."""

import chess
import pytest

from coachbook.errors import CoachbookError
from coachbook.exercises.games import Told, check_count, check_told, lacks_count, read_told
from coachbook.model.facts import PlayOutEnd
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
        ("mated, not counted", PlayOutEnd.MATE, None),
        ("mate, moves not counted", PlayOutEnd.MATE, None),
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
        ("not finished", PlayOutEnd.STOPPED, None),
        ("Unfinished after 30", PlayOutEnd.STOPPED, 30),
        ("time ran out", PlayOutEnd.STOPPED, None),
        ("stopped", PlayOutEnd.STOPPED, None),
        ("time up", PlayOutEnd.STOPPED, None),
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


TWO_ROOKS = chess.Board("8/8/8/3k4/8/8/5K2/R6R w - - 0 1")
PAWN = chess.Board("8/8/8/8/1k6/8/3P4/3K4 w - - 0 1")
LONE_KING = chess.Board("8/8/8/8/P4k2/8/8/7K b - - 0 1")


@pytest.mark.parametrize("text", ["mate", "Mated.", "won"])
def test_a_mate_that_was_to_be_reached_needs_its_number_of_moves(text: str) -> None:
    assert lacks_count(text, Goal.WIN)
    with pytest.raises(
        CoachbookError, match=r"In how many moves was it mate\? Say it, such as 'mated in 14'"
    ):
        check_told(text, TWO_ROOKS, Goal.WIN)


@pytest.mark.parametrize("text", ["mated in 9", "mated, not counted", "stalemate", "gave up", "9", "Qe5"])
def test_nothing_else_needs_one(text: str) -> None:
    assert not lacks_count(text, Goal.WIN)
    check_told(text, TWO_ROOKS, Goal.WIN)


@pytest.mark.parametrize("text", ["mated", "won", "held"])
def test_where_a_draw_was_to_be_held_no_number_is_needed(text: str) -> None:
    assert not lacks_count(text, Goal.DRAW)
    check_told(text, LONE_KING, Goal.DRAW)


@pytest.mark.parametrize(
    ("board", "text", "told"),
    [
        (TWO_ROOKS, "lost the queen", "White has no queen in this play-out: it has the king and 2 rooks."),
        (TWO_ROOKS, "lost a pawn on move 3", "White has no pawn in this play-out"),
        (LONE_KING, "lost the rook", "Black has no rook in this play-out: it has the king alone."),
    ],
)
def test_nobody_loses_a_man_whom_he_never_had(board: chess.Board, text: str, told: str) -> None:
    with pytest.raises(CoachbookError) as caught:
        check_told(text, board, Goal.WIN)
    assert caught.value.message.startswith(told)


@pytest.mark.parametrize(
    ("board", "text"), [(TWO_ROOKS, "lost a rook"), (TWO_ROOKS, "lost a piece"), (PAWN, "lost the queen")]
)
def test_what_was_there_or_may_have_come_from_a_pawn_can_be_lost(board: chess.Board, text: str) -> None:
    check_told(text, board, Goal.WIN)

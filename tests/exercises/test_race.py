"""A race of two pawns is marked part by part, and only a race that nobody can stop is one."""

from dataclasses import replace

import chess
import pytest
from hypothesis import given
from hypothesis import strategies as st

from coachbook.errors import CoachbookError
from coachbook.exercises.claims.known_claims import check_of
from coachbook.exercises.kinds import find_kind
from coachbook.exercises.marking import RIGHT, Mark, mark_answer
from coachbook.model.claims import PawnRace
from coachbook.model.facts import Slip
from coachbook.model.worksheet import Answer, AnswerForm, Exercise
from tests.exercises.samples import Made, first_use, sample
from tests.judges.race import king_can_stop, race

EXERCISES = Made(lambda: iter(sample(first_use("race_count"), 40)))

EVEN = "8/8/8/1P6/6p1/K7/7k/8 w - - 0 1"


def a_race() -> Exercise:
    return replace(EXERCISES[0], answer=replace(EXERCISES[0].answer, accepted=("4 3 black",)))


def holds(fen: str, white: int, black: int, first: str) -> bool:
    claim = PawnRace(white, black, first)
    return check_of(claim).holds(chess.Board(fen), claim)


@pytest.mark.parametrize(
    "written",
    [
        "4 3 black",
        "4, 3, black",
        "4 3 b",
        "4/3 B",
        "4-3 Black!",
        "four three black",
        "White 4, Black 3, Black first",
        "White: 4 moves  Black: 3 moves  First: Black",
        "Black's pawn needs 3 moves, White's pawn 4. Black queens first.",
        "w4 b3 b",
        "4 white 3 black black",
    ],
)
def test_the_parts_of_a_race_are_read_in_order_or_by_their_sides(written: str) -> None:
    assert mark_answer(a_race(), written) == RIGHT


@pytest.mark.parametrize(
    "written",
    [
        "4 3",
        "black",
        "4 black",
        "4 3 2 black",
        "43 black",
        "4 3 black white",
        "white 4 white 3 black",
        "4 3 red",
    ],
)
def test_what_leaves_out_a_part_or_says_more_is_unreadable(written: str) -> None:
    assert mark_answer(a_race(), written) == Mark(False, Slip.UNREADABLE)


@given(st.integers(0, 9), st.integers(0, 9), st.sampled_from(["white", "black"]))
def test_a_wrong_number_is_named_before_a_wrong_side(white: int, black: int, first: str) -> None:
    counted = (white, black) == (4, 3)
    right = counted and first == "black"
    slip = Slip.MISJUDGED if counted else Slip.MISCOUNTED_MOVES
    assert mark_answer(a_race(), f"{white} {black} {first}") == (RIGHT if right else Mark(False, slip))


def test_a_race_has_one_answer() -> None:
    with pytest.raises(CoachbookError, match="A race answer has exactly one accepted value"):
        Answer(AnswerForm.RACE, ("4 3 black", "4 4 black"))


def test_a_race_is_claimed_as_a_class_plays_it_out() -> None:
    for exercise in EXERCISES:
        assert holds(exercise.position.fen, *race(exercise.position.fen))
        assert exercise.answer.accepted == (" ".join(map(str, race(exercise.position.fen))),)


def test_each_end_of_a_race_and_each_side_comes_up() -> None:
    ends = {exercise.solution.text.code for exercise in EXERCISES}
    assert ends == {"race_drawn", "race_won_with_check", "race_won"}
    assert {exercise.answer.accepted[0].split()[2] for exercise in EXERCISES} == {"white", "black"}


@pytest.mark.parametrize(
    ("fen", "white", "black", "first", "why"),
    [
        ("8/8/8/1P6/k7/8/6p1/7K w - - 0 1", 3, 1, "black", "both kings can take a pawn"),
        ("8/1K6/8/1P6/6p1/8/8/4k3 w - - 0 1", 3, 3, "white", "White's king is in its own pawn's way"),
        ("8/8/8/1P6/1p6/8/8/K6k w - - 0 1", 3, 3, "white", "the pawns stand in each other's way"),
        ("8/8/8/8/8/K7/7k/8 w - - 0 1", 3, 3, "white", "there are no pawns"),
        ("8/8/8/PP6/6p1/K7/7k/8 w - - 0 1", 3, 3, "white", "White has two pawns"),
    ],
)
def test_what_is_no_race_is_refused(fen: str, white: int, black: int, first: str, why: str) -> None:
    assert not holds(fen, white, black, first), why


def test_a_pawn_that_the_first_queen_pins_runs_no_race() -> None:
    fen = "7K/6P1/8/8/8/8/p7/1k6 b - - 0 1"
    assert find_kind("race_count").draft(chess.Board(fen)) is None
    assert not holds(fen, 1, 1, "black")


def test_a_race_is_refused_where_a_king_can_stop_a_pawn_and_only_there() -> None:
    """Kings walk over the board; where none can stop a pawn, the tables may still say something else."""
    board, free = chess.Board(EVEN), 0
    for square in chess.SquareSet(~board.occupied):
        moved = board.copy(stack=False)
        moved.remove_piece_at(chess.H2)
        moved.set_piece_at(square, chess.Piece(chess.KING, chess.BLACK))
        if moved.is_valid() and holds(moved.fen(), *race(moved.fen())):
            free += 1
            assert not king_can_stop(moved.fen(), chess.WHITE)
    assert free > 0

"""Squares that are drawn or found: what the words ask for, where it is not asked, and claims that are false.

The answers are read off the printed words and the board by hand.
"""

import re
from dataclasses import replace

import chess
import pytest

from coachbook.endgame.material import material_of
from coachbook.endgame.space import BLACK, WHITE
from coachbook.exercises.claims.known_claims import check_of
from coachbook.exercises.generate import TOLERANCE, exercise_of, make_forms, survey_of
from coachbook.exercises.kinds import find_kind
from coachbook.exercises.marking import RIGHT, Mark, mark_answer
from coachbook.exercises.verify import check_exercise
from coachbook.model.claims import BishopCorners, BoxWalls, Claim, ForkSquares, RightBishop, SquareCorners
from coachbook.model.facts import Slip
from coachbook.model.worksheet import Exercise
from tests.exercises.samples import USES, Use, sample
from tests.judges.colours import CORNERS, colour

KINDS = ("draw_square", "box_walls", "fork_square", "right_corner", "mating_corners")


def asked(kind: str, fen: str) -> Exercise | None:
    """The verified exercise that a kind makes of a position; None if the position does not suit it."""
    board = chess.Board(fen)
    survey = survey_of(material_of(board).name, WHITE if board.turn else BLACK).of_one(board)
    draft = find_kind(kind).draft(board) if len(find_kind(kind).candidates(survey)) else None
    if draft is None:
        return None
    exercise = exercise_of("own", kind, board, draft, 0)
    check_exercise(exercise)
    return exercise


def right(kind: str, fen: str) -> set[str]:
    """What is right; nothing if it is not asked."""
    exercise = asked(kind, fen)
    return set(exercise.answer.accepted) if exercise else set()


def squares(names: str) -> frozenset[int]:
    return frozenset(map(chess.parse_square, names.split()))


@pytest.mark.parametrize(
    ("kind", "fen", "names"),
    [
        ("draw_square", "8/8/8/8/P4k2/8/8/7K b - - 0 1", "a4 a8 e4 e8"),
        ("draw_square", "8/5k2/8/8/7P/8/8/K7 b - - 0 1", "d4 d8 h4 h8"),
        ("draw_square", "8/8/8/5k2/8/8/P7/7K b - - 0 1", "a3 a8 f3 f8"),  # counted from a3
        ("draw_square", "8/3P4/8/5k2/8/8/8/K7 b - - 0 1", "d7 d8 e7 e8"),
        ("box_walls", "8/8/2k5/8/5Q2/8/8/7K w - - 0 1", "a4 b4 c4 d4 e4 f4 f5 f6 f7 f8"),
        ("box_walls", "8/8/8/8/1k6/8/8/2Q3K1 w - - 0 1", "c1 c2 c3 c4 c5 c6 c7 c8 a1 b1"),
        ("fork_square", "3k4/8/8/8/7r/8/8/K1Q5 w - - 0 1", "g5"),
        ("fork_square", "8/8/8/8/8/k7/3r4/KQ6 w - - 0 1", "c1"),  # there is a check to which he mates
        ("right_corner", "7k/8/6K1/7P/8/3B4/8/8 w - - 0 1", "wrong"),
        ("right_corner", "7k/8/6K1/7P/8/4B3/8/8 w - - 0 1", "right"),
        ("mating_corners", "5k2/8/5K2/4N3/4B3/8/8/8 w - - 0 1", "a8 h1"),
        ("mating_corners", "5k2/8/5K2/4N3/5B2/8/8/8 w - - 0 1", "a1 h8"),
    ],
)
def test_what_is_right_is_what_the_words_ask_for(kind: str, fen: str, names: str) -> None:
    assert right(kind, fen) == set(names.split())


@pytest.mark.parametrize(
    ("kind", "fen"),
    [
        ("draw_square", "8/8/8/8/k7/8/P7/7K b - - 0 1"),  # he stands on the pawn's file: on which side?
        ("draw_square", "8/8/8/1k6/8/3P4/8/7K b - - 0 1"),  # on his side the board ends too soon
        ("draw_square", "8/8/3k4/8/P1K5/8/8/8 b - - 0 1"),  # White's king stands in it
        ("box_walls", "8/8/8/3k4/8/8/3Q4/7K w - - 0 1"),  # he stands on the file: no box
        ("box_walls", "7k/8/8/8/8/8/8/Q3K3 w - - 0 1"),  # White's king stands on a wall
        ("box_walls", "8/8/8/8/3k4/8/8/Q6K w - - 0 1"),  # more than a child can write down
        ("fork_square", "1k6/1r6/2K5/Q7/8/8/8/8 w - - 0 1"),  # the rook is guarded: no double attack wins it
        ("fork_square", "3k4/8/8/8/7r/8/7K/2Q5 w - - 0 1"),  # White is in check
        ("fork_square", "3k4/8/8/8/7r/8/8/K6Q w - - 0 1"),  # the rook hangs at once
        ("right_corner", "8/4k3/8/5K1P/8/3B4/8/8 w - - 0 1"),  # the wrong bishop, and White wins all the same
    ],
)
def test_where_the_words_would_leave_a_doubt_it_is_not_asked(kind: str, fen: str) -> None:
    assert asked(kind, fen) is None


def test_the_sheet_says_from_where_a_pawn_at_home_counts() -> None:
    for exercise in sample(next(use for use in USES if use.use.kind == "draw_square"), 20):
        (pawn,) = chess.Board(exercise.position.fen).pieces(chess.PAWN, chess.WHITE)
        counted = re.findall(r"from ([a-h]3)\.", exercise.task.words)
        assert counted == ([chess.square_name(pawn + 8)] if chess.square_rank(pawn) == 1 else [])
        assert "first square" in exercise.solution.watch_for[-1].words or not counted


@pytest.mark.parametrize("kind", KINDS)
def test_a_key_gives_a_reason_and_something_to_watch_for(kind: str) -> None:
    for exercise in sample(next(use for use in USES if use.use.kind == kind), 6):
        assert exercise.solution.text.words.endswith(".")
        assert exercise.solution.watch_for


@pytest.mark.parametrize("use", [use for use in USES if use.use.kind in KINDS], ids=str)
def test_two_neighbours_can_be_given_forms_that_are_alike(use: Use) -> None:
    made = make_forms(replace(use.unit, kinds=(use.use,)), 8, 1, frozenset())
    assert made.widest <= TOLERANCE
    assert len({item.key for item in (*made.a, *made.b)}) == 16


def test_a_key_names_the_colours_that_there_are() -> None:
    for exercise in sample(next(use for use in USES if use.use.kind == "right_corner"), 12):
        found = re.search(r"corner ([ah]8) is (\w+),", exercise.solution.text.words)
        assert found
        assert colour(found[1]) == found[2]
    for exercise in sample(next(use for use in USES if use.use.kind == "mating_corners"), 12):
        (told,) = set(re.findall(r"\b(dark|light)\b", exercise.solution.text.words))
        assert {corner for corner in CORNERS if colour(corner) == told} == set(exercise.answer.accepted)


FORK = "3k4/8/8/8/7r/8/8/K1Q5 w - - 0 1"
WALLS = "8/8/2k5/8/5Q2/8/8/7K w - - 0 1"


@pytest.mark.parametrize(
    ("kind", "fen", "written", "mark"),
    [
        ("fork_square", FORK, "G5", RIGHT),
        ("fork_square", FORK, "d2", Mark(False, Slip.WRONG_SQUARE)),
        ("fork_square", FORK, "g5 d2", Mark(False, Slip.WRONG_SQUARE)),
        ("box_walls", WALLS, "f8 f7 f6 f5 f4 e4 d4 c4 b4 a4", RIGHT),
        ("box_walls", WALLS, "f8 f7 f6 f5 e4 d4 c4 b4 a4", Mark(False, Slip.MISSED_SQUARE)),
        ("box_walls", WALLS, "f8 f7 f6 f5 f4 f3 e4 d4 c4 b4 a4", Mark(False, Slip.WRONG_SQUARE)),
        ("draw_square", "8/8/8/8/P4k2/8/8/7K b - - 0 1", "e8, a8, a4, e4", RIGHT),
        ("draw_square", "8/8/8/8/P4k2/8/8/7K b - - 0 1", "d8, a8, a4, d4", Mark(False, Slip.WRONG_SQUARE)),
        ("mating_corners", "5k2/8/5K2/4N3/4B3/8/8/8 w - - 0 1", "h1", Mark(False, Slip.MISSED_SQUARE)),
        ("right_corner", "7k/8/6K1/7P/8/3B4/8/8 w - - 0 1", "the wrong one", RIGHT),
        ("right_corner", "7k/8/6K1/7P/8/3B4/8/8 w - - 0 1", "right", Mark(False, Slip.MISJUDGED)),
        ("right_corner", "7k/8/6K1/7P/8/3B4/8/8 w - - 0 1", "yes", Mark(False, Slip.UNREADABLE)),
    ],
)
def test_an_answer_is_marked_by_its_squares_and_a_wrong_one_named(
    kind: str, fen: str, written: str, mark: Mark
) -> None:
    exercise = asked(kind, fen)
    assert exercise
    assert mark_answer(exercise, written) == mark


HALF = squares("a4 b4 c4 d4 e4 a5 b5 c5 d5 e5 a6 b6 c6 d6 e6 a7 b7 c7 d7 e7 a8 b8 c8 d8 e8")
BOX = squares("a5 b5 c5 d5 e5 a6 b6 c6 d6 e6 a7 b7 c7 d7 e7 a8 b8 c8 d8 e8")
FENCE = squares("a4 b4 c4 d4 e4 f4 f5 f6 f7 f8")


@pytest.mark.parametrize(
    ("fen", "claim", "true"),
    [
        (
            "8/8/8/8/P4k2/8/8/7K b - - 0 1",
            SquareCorners(chess.A4, squares("a4 a8 e4 e8"), HALF),
            True,
        ),
        # He is on the pawn's file, there is no pawn, or the square leaves the board.
        ("8/k7/8/8/P7/8/8/7K b - - 0 1", SquareCorners(chess.A4, squares("a4 a8 e4 e8"), HALF), False),
        ("8/8/8/8/N4k2/8/8/7K b - - 0 1", SquareCorners(chess.A4, squares("a4 a8 e4 e8"), HALF), False),
        ("8/8/8/8/P4k2/8/8/7K b - - 0 1", SquareCorners(chess.A4, frozenset(), frozenset()), False),
        (WALLS, BoxWalls(chess.F4, FENCE, BOX), True),
        (WALLS.replace("5Q2", "5R2"), BoxWalls(chess.F4, FENCE, BOX), True),
        (WALLS.replace("7K", "8").replace("5Q2", "2K2Q2"), BoxWalls(chess.F4, FENCE, BOX), False),
        (FORK, ForkSquares(chess.C1, squares("g5")), True),
        (FORK, ForkSquares(chess.A1, squares("g5")), False),
        (FORK, ForkSquares(64, squares("g5")), False),  # no square at all
        (FORK.replace("K1Q5", "K1B5"), ForkSquares(chess.C1, squares("g5")), False),
        ("1k6/1r6/2K5/Q7/8/8/8/8 w - - 0 1", ForkSquares(chess.A5, frozenset()), False),
        ("7k/8/6K1/7P/8/3B4/8/8 w - - 0 1", RightBishop(chess.D3, chess.H5, right=False), True),
        ("7k/8/6K1/6P1/8/3B4/8/8 w - - 0 1", RightBishop(chess.D3, chess.G5, right=False), False),
        ("7k/8/6K1/7P/8/3N4/8/8 w - - 0 1", RightBishop(chess.D3, chess.H5, right=False), False),
        ("5k2/8/5K2/4N3/4B3/8/8/8 w - - 0 1", BishopCorners(chess.E4, squares("a8 h1")), True),
        ("5k2/8/5K2/4N3/4B3/8/8/8 w - - 0 1", BishopCorners(chess.E5, squares("a1 h8")), False),
        ("5k2/8/5K2/4N3/4B3/8/8/8 w - - 0 1", BishopCorners(64, squares("a8 h1")), False),
    ],
)
def test_a_claim_holds_where_it_is_true_and_nowhere_else(fen: str, claim: Claim, *, true: bool) -> None:
    assert check_of(claim).holds(chess.Board(fen), claim) == true

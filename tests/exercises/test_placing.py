"""A man is placed on any right square; a wrong one is called what comes of it."""

from dataclasses import replace

import chess
import pytest

from coachbook.exercises.claims.known_claims import check_of
from coachbook.exercises.generate import make_exercises
from coachbook.exercises.marking import RIGHT, Mark, mark_answer
from coachbook.model.claims import PlacingSquares
from coachbook.model.facts import Slip
from coachbook.model.position import Position
from coachbook.model.worksheet import Exercise
from tests.exercises.samples import USES, Made, sample

BUILDS = {use.unit.code: use for use in USES if use.use.kind == "build_position"}
EXERCISES = Made(lambda: iter(sample(BUILDS["two-majors"], 40)))
FIRST = sample(BUILDS["two-majors"], 1)[0]


def squares(*names: str) -> frozenset[int]:
    return frozenset(map(chess.parse_square, names))


def placing(fen: str, man: str, goal: str, *names: str) -> Exercise:
    """An exercise whose answer is claimed to be these squares."""
    answer = replace(FIRST.answer, accepted=names)
    claims = (PlacingSquares(man, goal, squares(*names)),)
    return replace(FIRST, position=Position(fen), answer=answer, claims=claims)


def holds(fen: str, man: str, goal: str, *names: str) -> bool:
    claim = PlacingSquares(man, goal, squares(*names))
    return check_of(claim).holds(chess.Board(fen), claim)


MATE = placing("8/8/8/5K2/7k/8/8/8 b - - 0 1", "queen", "mate", "g4", "h2")


@pytest.mark.parametrize("written", ["g4", "h2", "G4.", "g4, h2", "h2 and g4"])
def test_any_right_square_will_do_and_several_too(written: str) -> None:
    assert mark_answer(MATE, written) == RIGHT


@pytest.mark.parametrize(
    ("written", "slip"),
    [
        ("f3", Slip.STALEMATE),
        ("g3", Slip.PIECE_LOST),
        ("a1", Slip.WRONG_SQUARE),
        ("h4", Slip.WRONG_SQUARE),
        ("g4, a1", Slip.WRONG_SQUARE),
        ("g4 f3", Slip.STALEMATE),
        ("Xg4", Slip.UNREADABLE),
        ("-", Slip.NOT_TRIED),
    ],
)
def test_a_wrong_square_is_called_what_comes_of_it(written: str, slip: Slip) -> None:
    assert mark_answer(MATE, written) == Mark(False, slip)


def test_all_right_squares_are_claimed_and_no_others() -> None:
    fen = MATE.position.fen
    assert holds(fen, "queen", "mate", "g4", "h2")
    assert not holds(fen, "queen", "mate", "g4")
    assert not holds(fen, "queen", "mate", "g4", "h2", "a1")
    assert not holds(fen, "queen", "stalemate", "g4", "h2")
    assert not holds(fen, "rook", "mate", "g4", "h2")
    assert not holds(fen, "wizard", "mate", "g4", "h2")
    assert not holds(fen.replace(" b ", " w "), "queen", "mate", "g4", "h2")
    assert not holds("8/8/8/8/8/3K4/8/7k b - - 0 1", "rook", "mate")


def test_a_square_of_a_position_that_cannot_arise_spoils_the_question() -> None:
    """On h7 queen and rook would check on one line from both sides: it looks like mate, and can't come up."""
    fen, right = "8/8/7k/7R/8/8/1K6/8 b - - 0 1", ("g4", "g5", "f7")
    board = chess.Board(fen)
    board.set_piece_at(chess.H7, chess.Piece(chess.QUEEN, chess.WHITE))
    assert (board.is_checkmate(), board.is_valid()) == (True, False)
    assert not holds(fen, "queen", "mate", *right)
    assert not holds(fen, "queen", "mate", *right, "h7")


def test_both_ends_and_both_men_come_up_and_he_is_free_before() -> None:
    placings = (claim for each in EXERCISES for claim in each.claims if isinstance(claim, PlacingSquares))
    told = {(claim.man, claim.goal) for claim in placings}
    assert {goal for _, goal in told} == {"mate", "stalemate"}
    assert {man for man, _ in told} == {"queen", "rook"}
    for exercise in EXERCISES:
        board = chess.Board(exercise.position.fen)
        assert not board.is_check()
        assert any(board.legal_moves)


def test_kings_alone_are_a_position_to_ask_about() -> None:
    use = BUILDS["mate-in-one"]
    made = make_exercises(use.unit, use.use, 12, 1, frozenset())
    assert all(len(chess.Board(exercise.position.fen).piece_map()) == 2 for exercise in made)
    assert len({exercise.key for exercise in made}) == len(made)

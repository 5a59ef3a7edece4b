"""Pawn tasks mean what they say: a pawn that is caught is taken, and a printed rule is all of the rule."""

import re
from dataclasses import replace

import chess
import pytest

from coachbook.exercises.claims.square_claims import gets_through, is_caught
from coachbook.exercises.marking import mark_answer
from coachbook.exercises.verify import find_fault
from coachbook.model.claims import SquareOfPawn
from coachbook.model.facts import Slip
from coachbook.model.worksheet import Exercise
from coachbook.workflows.own_positions import offers, read_positions
from tests.exercises.samples import FIRST_USES, sample
from tests.judges import chase, pawn
from tests.method.test_pawn_chase import DRAWN_BY_OPPOSITION

RUNNERS, KEY_SQUARES = (
    next(use for use in FIRST_USES if use.use.kind == kind) for kind in ("catch_pawn", "key_squares")
)
MOST = 9


def offered(kind: str, fen: str) -> Exercise | None:
    (own,) = read_positions(fen)
    (made,) = [offer.exercise for offer in offers(own, "pawn-square") if offer.kind == kind]
    return made


def _check_catch(exercise: Exercise) -> None:
    """Yes: the pawn is taken whatever White does; no: it is not; and the rule of the square says the same."""
    board = chess.Board(exercise.position.fen)
    (at,) = (chess.square_name(square) for square in board.pieces(chess.PAWN, chess.WHITE))
    king, lone = (chess.square_name(board.king(side) or 0) for side in (chess.WHITE, chess.BLACK))
    steps = {chess.square_name(move.to_square) for move in board.legal_moves}
    yes = exercise.answer.accepted == ("yes",)
    assert yes == bool(steps & pawn.square_of_pawn(at))
    assert chase.is_caught(king, at, lone, MOST) == yes
    assert chase.gets_home(king, at, lone, MOST) == (not yes)


def test_caught_is_literally_so() -> None:
    for exercise in sample(RUNNERS, 5):
        _check_catch(exercise)


@pytest.mark.long
def test_caught_is_literally_so_in_hundreds() -> None:
    for exercise in sample(RUNNERS, 500):
        _check_catch(exercise)


def test_half_of_the_pawns_are_caught() -> None:
    answers = [exercise.answer.accepted for exercise in sample(RUNNERS, 60)]
    assert 20 <= answers.count(("yes",)) <= 40


@pytest.mark.parametrize("fen", DRAWN_BY_OPPOSITION)
def test_where_it_is_drawn_by_the_opposition_nobody_asks_for_a_catch(fen: str) -> None:
    board = chess.Board(fen)
    assert offered("catch_pawn", fen) is None
    assert not is_caught(board)
    assert not gets_through(board)


def test_a_catch_that_is_only_a_draw_is_refused() -> None:
    board = chess.Board(DRAWN_BY_OPPOSITION[0])
    (at,) = board.pieces(chess.PAWN, chess.WHITE)
    square = frozenset(map(chess.parse_square, pawn.square_of_pawn(chess.square_name(at))))
    made = next(exercise for exercise in sample(RUNNERS, 20) if exercise.answer.accepted == ("yes",))
    false = replace(
        made,
        position=replace(made.position, fen=board.fen()),
        claims=(SquareOfPawn(at, square, True),),
    )
    assert find_fault(false) is not None
    assert not is_caught(board)


def _rule(words: str, at: str) -> set[str]:
    """The squares that the printed sentence names."""
    file, rank = "abcdefgh".index(at[0]), int(at[1])
    if words.startswith("A pawn on the edge has two"):
        beside = {"a": "b", "h": "g"}[at[0]]
        return {f"{beside}8", f"{beside}7"}
    ranks = [rank + 2, *([rank + 1] if "right ahead" in words else [])]
    assert re.match("Three squares side by side, two ranks ahead|From its fifth rank on", words)
    assert ("fifth" in words) == (rank >= 5)
    return {f"{'abcdefgh'[each]}{up}" for each in (file - 1, file, file + 1) for up in ranks}


def test_the_rule_of_key_squares_is_printed_whole() -> None:
    for exercise in sample(KEY_SQUARES, 40):
        (at,) = chess.Board(exercise.position.fen).pieces(chess.PAWN, chess.WHITE)
        name = chess.square_name(at)
        assert _rule(exercise.solution.text.words, name) == {*exercise.answer.accepted}
        assert ("edge" in exercise.task.words) == (name[0] in "ah")


@pytest.mark.parametrize(
    ("fen", "right", "diagonal"),
    [
        ("8/8/8/8/8/2Pk4/K7/8 w - - 0 1", "Kb3", "Kb1"),
        ("8/8/8/8/1k6/8/1PK5/8 b - - 0 1", "Kc4", "Ka4"),
    ],
)
def test_one_square_between_on_a_slanting_line_is_no_opposition(fen: str, right: str, diagonal: str) -> None:
    exercise = offered("opposition", fen)
    assert exercise is not None
    assert exercise.answer.accepted == (right,)
    assert mark_answer(exercise, diagonal).slip == Slip.NO_OPPOSITION

"""A plan is a proven method's where there is one from here, else a computed line that says so."""

import chess
import pytest
from hypothesis import given
from hypothesis import strategies as st

from coachbook.endgame.probe import probe
from coachbook.errors import CoachbookError
from coachbook.model.exercise import Plan
from coachbook.workflows.plans import computed_plan, plan_for

QUEEN = "8/8/8/4k3/8/8/2Q5/K7 w - - 0 1"
KNIGHT_AND_BISHOP = "8/8/8/4k3/8/8/2B5/K2N4 w - - 0 1"
BISHOP_AND_PAWN = "8/8/8/4k3/8/2P5/2B5/K7 w - - 0 1"


def played(plan: Plan) -> chess.Board:
    """The board after a plan, each move checked for being legal."""
    board = chess.Board(plan.start.fen)
    for step in plan.steps:
        board.push_san(step.move)
        if step.reply:
            board.push_san(step.reply)
    return board


def test_a_proven_method_is_taken_and_named() -> None:
    plan = plan_for(QUEEN)
    assert "proven" in plan.source
    assert played(plan).is_checkmate()


def test_without_a_method_the_line_is_computed_and_labelled_so() -> None:
    plan = plan_for(BISHOP_AND_PAWN)
    assert plan.source.startswith("computed line")
    assert played(plan).is_checkmate()
    assert len(plan.steps) == probe(chess.Board(BISHOP_AND_PAWN)).moves


def test_an_ending_taught_in_stages_is_planned_stage_by_stage() -> None:
    plan = plan_for(KNIGHT_AND_BISHOP)
    assert plan.source == "computed line, in stages each of which can be forced"
    assert [step.rule[:7] for step in plan.steps] == sorted(step.rule[:7] for step in plan.steps)
    assert played(plan).is_checkmate()


def test_given_replies_are_played_as_a_person_writes_them() -> None:
    plan = plan_for(QUEEN, "queen-box", ["kd6", "K c5"])
    assert [step.reply for step in plan.steps[:2]] == ["Kd6", "Kc5"]
    assert played(plan).is_checkmate()


@pytest.mark.parametrize(
    ("fen", "method", "defence", "told"),
    [
        ("nonsense", None, (), "not a position in FEN"),
        ("8/8/8/4k3/8/8/1Q6/K7 w - - 0 1", None, (), "can't arise|cannot arise|can arise"),
        ("8/8/8/4k3/8/8/2Q5/K7 w - - 0 1", "rook-box", (), "does not fit"),
        (QUEEN, "queens-box", (), "no method"),
        (QUEEN, "queen-box", ("Ka1",), "no legal reply"),
        (QUEEN, "queen-box", ("",), "no legal reply"),
        (KNIGHT_AND_BISHOP, None, ("Kd4",), "Only a method"),
        ("6k1/8/6K1/8/8/8/8/Q7 w - - 0 1", "queen-box", ("Kh8", "Kg8", "Kh8"), "at its end before"),
        ("7k/5Q2/6K1/8/8/8/8/8 b - - 0 1", None, (), "game is over"),
    ],
)
def test_what_cannot_be_planned_is_told_in_a_line(
    fen: str, method: str | None, defence: tuple[str, ...], told: str
) -> None:
    with pytest.raises(CoachbookError, match=told):
        plan_for(fen, method, defence)


def test_of_a_draw_the_best_move_is_told() -> None:
    plan = computed_plan(chess.Board("8/8/8/8/8/4k3/4P3/4K3 b - - 0 1"))
    assert len(plan.steps) == 1
    assert played(plan).is_valid()


@given(
    st.sampled_from("QR"),
    st.lists(st.integers(0, 63), min_size=3, max_size=3, unique=True),
    st.booleans(),
)
def test_every_plan_ends_in_mate_whichever_colour_attacks(
    letter: str, squares: list[int], white: bool
) -> None:
    board = chess.Board(None)
    board.turn = white
    king, piece, lone = squares
    board.set_piece_at(king, chess.Piece(chess.KING, white))
    board.set_piece_at(piece, chess.Piece(chess.Piece.from_symbol(letter).piece_type, white))
    board.set_piece_at(lone, chess.Piece(chess.KING, not white))
    if board.is_valid():
        plan = plan_for(board.fen())
        assert "proven" in plan.source
        assert played(plan).is_checkmate()

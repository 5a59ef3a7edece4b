"""What is asked for from any position says first what is true of it, and claims no more than is proven."""

import chess
import pytest
from hypothesis import given
from hypothesis import strategies as st

from coachbook.endgame.probe import Result, probe
from coachbook.errors import CoachbookError
from coachbook.method.queen_box import QUEEN_BOX
from coachbook.method.written_plan import find_length
from coachbook.model.because import Because, Verdict
from coachbook.model.worksheet import Plan
from coachbook.workflows.written_plans import PositionPlan, plan_for

QUEEN = "8/8/8/4k3/8/8/2Q5/K7 w - - 0 1"
QUEEN_LOST = "8/8/8/4k3/8/8/2Q5/K7 b - - 0 1"
KNIGHT_AND_BISHOP = "8/8/8/4k3/8/8/2B5/K2N4 w - - 0 1"
BISHOP_AND_PAWN = "8/8/8/4k3/8/2P5/2B5/K7 w - - 0 1"
PAWN_UNPROVEN = "8/8/2k5/8/8/2K1P3/8/8 w - - 0 1"
PAWN_DRAWN = "8/8/4k3/8/4K3/4P3/8/8 w - - 0 1"
HELD = "8/8/8/8/8/4k3/4P3/4K3 b - - 0 1"
DRAWN_UNPROVEN = "k7/8/8/8/8/6P1/K7/8 b - - 0 1"
ONE_LINE = "one computed line, the quickest mate and the longest defence; other defences are possible"


def played(plan: Plan) -> chess.Board:
    """The board after a plan, each move checked for being legal."""
    board = chess.Board(plan.start.fen)
    for step in plan.steps:
        board.push_san(step.move)
        if step.reply:
            board.push_san(step.reply)
    return board


def words(found: PositionPlan) -> str:
    return " ".join((*found.preface, found.plan.source.words))


def test_a_proven_method_is_named_with_the_most_moves_that_it_takes_from_here() -> None:
    found = plan_for(QUEEN)
    most = find_length(chess.Board(QUEEN), QUEEN_BOX)
    assert (found.method, found.proven, found.at_most, found.preface) == ("queen-box", True, most, ())
    assert found.plan.source.words == (
        f"The queen's box, proven from here against every defence: mate in at most {most} moves;"
        " one line of it is shown"
    )
    assert played(found.plan).is_checkmate()


@pytest.mark.parametrize("method", [None, "king-and-pawn"])
def test_a_won_position_from_which_the_method_is_not_proven_says_so_and_that_this_is_one_line(
    method: str | None,
) -> None:
    found = plan_for(PAWN_UNPROVEN, method)
    assert (found.method, found.proven, found.at_most) == ("", False, None)
    (told,) = found.preface
    assert told.startswith("'King and pawn' is proven from 123,772 of 124,960 won positions")
    assert told.endswith("this position is not one of them.")
    assert found.plan.source.words == ONE_LINE
    assert played(found.plan).is_checkmate()


@pytest.mark.parametrize("method", [None, "king-and-pawn"])
def test_of_a_draw_it_is_said_that_no_plan_wins_it(method: str | None) -> None:
    found = plan_for(PAWN_DRAWN, method)
    assert found.outcome.result is Result.DRAW
    assert (found.method, found.proven) == ("", False)
    assert found.preface == ("This position is a draw: there is no plan that wins it.",)
    assert "each move keeps the draw" in found.plan.source.words
    assert "the quickest mate" not in words(found)


@pytest.mark.parametrize("method", [None, "hold-king-and-pawn"])
def test_a_draw_that_a_method_holds_is_called_a_draw_that_is_held(method: str | None) -> None:
    found = plan_for(HELD, method)
    assert (found.method, found.proven, found.at_most) == ("hold-king-and-pawn", True, None)
    assert found.preface == (
        "This position is a draw, and Black holds it by 'Holding against king and pawn'.",
    )
    assert "against every try" in found.plan.source.words


def test_a_draw_from_which_the_holding_method_is_not_proven_says_so() -> None:
    found = plan_for(DRAWN_UNPROVEN, "hold-king-and-pawn")
    assert not found.proven
    assert "a draw" in found.preface[0]
    assert "proven from 68,582 of 70,402 drawn positions" in found.preface[1]
    assert found.preface[1].endswith("this position is not one of them.")


@pytest.mark.parametrize(
    ("fen", "told"),
    [
        (QUEEN_LOST, "Black is lost: White mates in at most 9 moves, and no plan changes that."),
        ("K7/8/1k6/8/8/8/7r/8 w - - 0 1", "White is lost: Black mates in at most 1 move"),
    ],
)
def test_who_loses_is_told_so(fen: str, told: str) -> None:
    found = plan_for(fen)
    assert found.outcome.result is Result.LOSS
    assert not found.proven
    assert found.preface[0].startswith(told)
    assert found.plan.source.words == ONE_LINE


def test_without_a_method_the_line_is_computed_and_labelled_so() -> None:
    found = plan_for(BISHOP_AND_PAWN)
    assert found.preface == ("No method is proven for this position.",)
    assert found.plan.source.words == ONE_LINE
    assert played(found.plan).is_checkmate()
    assert len(found.plan.steps) == probe(chess.Board(BISHOP_AND_PAWN)).moves


def test_an_ending_taught_in_stages_is_planned_stage_by_stage() -> None:
    plan = plan_for(KNIGHT_AND_BISHOP).plan
    assert (
        plan.source.words
        == "one computed line, in stages each of which can be forced; other defences are possible"
    )
    assert [step.rule.words[:7] for step in plan.steps] == sorted(step.rule.words[:7] for step in plan.steps)
    assert played(plan).is_checkmate()


def test_given_replies_are_played_as_a_person_writes_them() -> None:
    plan = plan_for(QUEEN, "queen-box", ["kd6", "K c5"]).plan
    assert [step.reply for step in plan.steps[:2]] == ["Kd6", "Kc5"]
    assert played(plan).is_checkmate()


@pytest.mark.parametrize(
    ("fen", "method", "defence", "told"),
    [
        ("nonsense", None, (), "not a position in FEN"),
        ("8/8/8/4k3/8/8/1Q6/K7 w - - 0 1", None, (), "can't arise|cannot arise|can arise"),
        ("8/8/8/4k3/8/8/2Q5/K7 w - - 0 1", "rook-box", (), "does not fit"),
        (QUEEN_LOST, "queen-box", (), "does not fit"),
        (QUEEN, "queens-box", (), "no method"),
        (QUEEN, "queen-box", ("Ka1",), "no legal reply"),
        (QUEEN, "queen-box", ("",), "no legal reply"),
        (QUEEN, "queen-box", ("e5d5",), "not a legal reply"),
        ("6k1/8/6K1/8/8/8/8/Q7 w - - 0 1", None, ("g8h8", "h8g8", "g8h8"), "ends before the reply"),
        (KNIGHT_AND_BISHOP, None, ("Kd4",), "Only a method"),
        ("6k1/8/6K1/8/8/8/8/Q7 w - - 0 1", "queen-box", ("Kh8", "Kg8", "Kh8"), "ends before the reply"),
        ("7k/5Q2/6K1/8/8/8/8/8 b - - 0 1", None, (), "game is over"),
    ],
)
def test_what_cannot_be_planned_is_told_in_a_line(
    fen: str, method: str | None, defence: tuple[str, ...], told: str
) -> None:
    with pytest.raises(CoachbookError, match=told):
        plan_for(fen, method, defence)


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
        found = plan_for(board.fen())
        assert found.proven
        assert found.at_most is not None
        assert len(found.plan.steps) <= found.at_most
        assert played(found.plan).is_checkmate()


@pytest.mark.parametrize(
    ("fen", "because"),
    [
        ("8/8/3k4/8/3K4/8/3P4/8 w - - 0 1", Because.KEY_SQUARE_TO_MOVE),
        (HELD, Because.RIGHT_BEFORE),
        ("k7/8/8/8/8/8/P7/K7 w - - 0 1", Because.ROOK_PAWN_CORNER),
        ("8/8/7Q/3K4/8/8/p7/1k6 w - - 0 1", Because.ROOK_PAWN_NEAR),
        (PAWN_UNPROVEN, None),
        (BISHOP_AND_PAWN, None),
        ("4Q3/8/2K5/8/8/8/2p2k2/8 w - - 0 1", None),  # an exception: a draw, although his king is far
    ],
)
def test_why_it_is_won_or_drawn_is_told_of_either_colour(fen: str, because: Because | None) -> None:
    for board, white in ((chess.Board(fen), True), (chess.Board(fen).mirror(), False)):
        reason = plan_for(board.fen()).reason
        assert reason == (Verdict(because, white) if because else None)


def test_replies_in_squares_are_those_that_a_person_writes() -> None:
    assert plan_for(QUEEN, None, ("e5d6", "d6c5")) == plan_for(QUEEN, None, ("Kd6", "Kc5"))

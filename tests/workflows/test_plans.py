"""A computed plan is one line, and says so; of a draw it is a line that makes sense."""

import chess
import pytest

from coachbook.endgame.probe import Result, probe
from coachbook.errors import CoachbookError
from coachbook.method.queen_box import QUEEN_BOX
from coachbook.workflows.written_plans import computed_plan, method_or_computed, read_board


@pytest.mark.parametrize(
    "fen", ["8/8/8/8/8/4k3/4P3/4K3 w - - 0 1", "8/8/4k3/8/r7/8/8/1K1R4 w - - 0 1"], ids=["pawn", "rooks"]
)
def test_of_a_draw_each_move_of_the_line_keeps_it(fen: str) -> None:
    plan = computed_plan(chess.Board(fen))
    board = chess.Board(fen)
    assert plan.steps
    for san in (san for step in plan.steps for san in (step.move, step.reply) if san):
        board.push_san(san)
        assert probe(board).result is Result.DRAW
    assert "keeps the draw" in plan.source.words


@pytest.mark.parametrize(
    ("fen", "rule"),
    [
        ("8/8/8/4k3/8/2P5/2B5/K7 w - - 0 1", "the quickest win"),
        ("8/8/8/4k3/8/2P5/2B5/K7 b - - 0 1", "the longest defence"),
    ],
)
def test_a_computed_line_says_for_each_move_what_it_is(fen: str, rule: str) -> None:
    plan = computed_plan(chess.Board(fen))
    assert {step.rule.words for step in plan.steps} == {rule}
    assert plan.source.words.startswith("one computed line, the quickest mate")


def test_a_method_that_does_not_fit_gives_way_to_a_computed_line() -> None:
    board = chess.Board("8/8/8/4k3/8/8/8/K6R w - - 0 1")
    assert method_or_computed(board, QUEEN_BOX).source.words.startswith("one computed line")
    assert method_or_computed(board, None).source.words.startswith("one computed line")


@pytest.mark.parametrize("fen", ["8/8/8/4k3/8/8/2Q5/K7", " 8/8/8/4k3/8/8/2Q5/K7 "])
def test_a_position_without_a_side_to_move_is_refused(fen: str) -> None:
    with pytest.raises(CoachbookError, match=r"does not say who is to move. Add ' w' after") as told:
        read_board(fen)
    assert "\n" not in str(told.value)


def test_a_position_with_only_the_side_to_move_besides_is_read() -> None:
    assert read_board("8/8/8/4k3/8/8/2Q5/K7 w").turn == chess.WHITE
    assert read_board("8/8/8/4k3/8/8/2Q5/K7 b").turn == chess.BLACK

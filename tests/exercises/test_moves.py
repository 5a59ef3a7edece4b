"""What moves do, and the words for it."""

import chess
import pytest
from hypothesis import given

from coachbook.exercises.board_facts import names, outcomes, reasons_for_mate
from coachbook.model.worksheet import Exercise
from coachbook.wording.exercises import say
from tests.exercises.samples import of_each_kind
from tests.judges import moves

EXERCISES = of_each_kind(5)


@given(EXERCISES.any)
def test_outcomes_are_what_trying_all_moves_shows(exercise: Exercise) -> None:
    fen = exercise.position.fen
    board = chess.Board(fen)
    found = outcomes(board)
    assert board.fen() == fen
    assert names(found.mates) == moves.mates(fen)
    assert names(found.stalemates) == moves.stalemates(fen)
    checks = [move for move in board.legal_moves if board.gives_check(move)]
    assert found.other_checks == len(checks) - len(found.mates)
    quiet = [move for move in board.legal_moves if move not in checks]
    replies = []
    for move in quiet:
        board.push(move)
        replies.append(board.legal_moves.count())
        board.pop()
    assert found.one_reply == replies.count(1)
    assert [board.san(move) for move in found.mates] == sorted(map(board.san, found.mates))


@pytest.mark.parametrize(
    ("fen", "move", "words"),
    [
        (
            "8/8/8/8/8/5Q2/k1K5/8 w - - 0 1",
            "f3a8",
            "Check from the queen, and he has no square left. White's king guards b1, b2 and b3.",
        ),
        (
            "k7/8/1K6/8/8/8/8/7R w - - 0 1",
            "h1h8",
            "Check from the rook, and he has no square left. White's king guards a7 and b7.",
        ),
    ],
)
def test_why_it_is_mate(fen: str, move: str, words: str) -> None:
    reasons = reasons_for_mate(chess.Board(fen), chess.Move.from_uci(move))
    assert say("explained_mate", **reasons).words == words


@given(EXERCISES.any)
def test_the_king_is_told_to_guard_only_what_he_alone_guards(exercise: Exercise) -> None:
    board = chess.Board(exercise.position.fen)
    for move in outcomes(board).mates:
        words = say("explained_mate", **reasons_for_mate(board, move)).words
        after = board.copy()
        after.push(move)
        lone = after.king(chess.BLACK)
        for name in words.partition("guards")[2].rstrip(".").replace(" and", ",").split(", "):
            if name.strip():
                square = chess.parse_square(name.strip())
                assert chess.square_distance(square, lone or 0) == 1
                assert chess.square_distance(square, after.king(chess.WHITE) or 0) == 1


def test_a_move_that_does_not_mate_has_no_such_reasons() -> None:
    board = chess.Board("k7/8/1K6/8/8/8/8/7R w - - 0 1")
    with pytest.raises(ValueError, match="is not mate"):
        reasons_for_mate(board, chess.Move.from_uci("h1h7"))

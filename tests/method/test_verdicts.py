"""Why a position is won or drawn: said for either colour and wing, and never where it is not so."""

import chess
import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from coachbook.endgame.probe import Result, probe
from coachbook.method import king_and_pawn_verdicts, queen_against_pawn, rook_verdicts
from coachbook.method.queen_against_pawn import QueenAndPawn
from coachbook.method.verdicts import find_reason
from coachbook.model.because import Because, Verdict
from coachbook.wording.reasons import why, why_after_move
from tests.method.plain import legal_boards
from tests.method.queen_verdict_proof import prove_verdict
from tests.method.test_queen_against_pawn import boards

OF_EACH_ENDING = (king_and_pawn_verdicts.VERDICTS, queen_against_pawn.VERDICTS, rook_verdicts.VERDICTS)
WON = {verdict.because: verdict.won for verdicts in OF_EACH_ENDING for verdict in verdicts}
KEY_SQUARE = "8/8/3k4/8/3K4/8/3P4/8 w - - 0 1"
FAR = "7K/8/7Q/8/8/8/p7/1k6 w - - 0 1"
EXCEPTIONS = [fen for verdict in queen_against_pawn.VERDICTS for fen in prove_verdict(verdict).exceptions]


def test_each_reason_is_one_verdict() -> None:
    assert len(WON) == sum(map(len, OF_EACH_ENDING))
    assert set(WON) == set(Because)


@given(
    legal_boards("P", chess.WHITE) | legal_boards("P", chess.BLACK) | boards(), st.booleans(), st.booleans()
)
def test_a_reason_agrees_with_the_tables(board: chess.Board, mirrored: bool, turned: bool) -> None:
    board = board.mirror() if mirrored else board
    board = board.transform(chess.flip_horizontal) if turned else board
    reason = find_reason(board)
    if reason is not None:
        assert WON[reason.because] == (probe(board).result is not Result.DRAW)


@given(legal_boards("P", chess.WHITE) | legal_boards("P", chess.BLACK) | boards())
def test_with_colours_exchanged_the_same_is_said_of_the_other_side(board: chess.Board) -> None:
    reason, other = find_reason(board), find_reason(board.mirror())
    if reason is None or other is None:
        assert reason is other
    else:
        assert (reason.because, reason.mirrored) == (other.because, other.mirrored)
        assert reason.white is not other.white


@given(boards())
def test_only_the_squares_change_with_the_wing(board: chess.Board) -> None:
    reason, other = find_reason(board), find_reason(board.transform(chess.flip_horizontal))
    if reason is not None:
        assert other == Verdict(reason.because, reason.white, not reason.mirrored)


@pytest.mark.parametrize("fen", EXCEPTIONS)
def test_no_reason_is_given_where_the_verdict_is_wrong(fen: str) -> None:
    board = chess.Board(fen)
    assert queen_against_pawn.find_verdicts(board)
    assert find_reason(board) is None
    assert find_reason(board.mirror()) is None


def test_there_are_exceptions() -> None:
    assert len(EXCEPTIONS) == 58


@pytest.mark.parametrize(
    "fen", ["8/8/8/4k3/8/8/2Q5/K7 w - - 0 1", "8/8/8/4k3/8/8/8/K7 w - - 0 1", "k7/P7/K7/8/8/8/8/8 b - - 0 1"]
)
def test_other_endings_and_a_stalemate_by_another_cause_have_their_own_reason_or_none(fen: str) -> None:
    reason = find_reason(chess.Board(fen))
    assert (reason and reason.because) == (Because.ROOK_PAWN_CORNER if "P" in fen else None)


@pytest.mark.parametrize(
    ("board", "said"),
    [
        (chess.Board(KEY_SQUARE), "White's king stands on a key square of the pawn, and White is to move."),
        (
            chess.Board(KEY_SQUARE).mirror(),
            "Black's king stands on a key square of the pawn, and Black is to move.",
        ),
        (
            chess.Board(FAR),
            "Black's king is on b1 or b2, its pawn on the edge, and White's king is too far away (outside"
            " files a to e and ranks 1 to 5, or just on e5) and not between queen and king.",
        ),
        (
            chess.Board(FAR).mirror().transform(chess.flip_horizontal),
            "White's king is on g8 or g7, its pawn on the edge, and Black's king is too far away (outside"
            " files d to h and ranks 4 to 8, or just on d4) and not between queen and king.",
        ),
    ],
)
def test_a_reason_names_sides_and_squares_of_the_board(board: chess.Board, said: str) -> None:
    reason = find_reason(board)
    assert reason is not None
    assert why(reason) == f"Why: {said}"
    assert why_after_move(reason) == f"After the right move: {said}"


@pytest.mark.parametrize("because", Because)
@pytest.mark.parametrize("white", [True, False])
@pytest.mark.parametrize("mirrored", [True, False])
def test_every_reason_has_a_sentence_of_its_own(because: Because, white: bool, mirrored: bool) -> None:
    said = why(Verdict(because, white, mirrored))
    assert said.endswith(".")
    assert not {"{", "}"} & set(said)
    others = {why(Verdict(other, white, mirrored)) for other in Because if other is not because}
    assert said not in others


def test_the_squares_of_the_sentence_on_the_rooks_pawns_zone_are_those_of_the_verdict() -> None:
    files, ranks = "abcde", "12345"
    named = {chess.parse_square(file + rank) for file in files for rank in ranks} - {chess.E5}
    everywhere = np.arange(64, dtype=np.int8)
    (near,) = [each for each in queen_against_pawn.VERDICTS if each.because is Because.ROOK_PAWN_NEAR]

    def on(square: int) -> np.ndarray[tuple[int, ...], np.dtype[np.int8]]:
        return np.full(64, square, dtype=np.int8)

    positions = QueenAndPawn(everywhere, on(chess.H8), on(chess.A2), on(chess.B1))
    assert set(np.flatnonzero(near.applies(positions)).tolist()) == named

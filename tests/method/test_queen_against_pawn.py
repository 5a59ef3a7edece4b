"""What the verdicts on queen against pawn say, held against the tables (which are held against Syzygy)."""

from dataclasses import replace

import chess
import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from coachbook.method.positions import Mask
from coachbook.method.queen_against_pawn import (
    ROOK_ZONE,
    VERDICTS,
    QueenAndPawn,
    Verdict,
    find_verdicts,
    squares,
)
from coachbook.model.because import Because
from tests.method.queen_verdict_proof import cover, prove_verdict

BY_CODE = {verdict.because: verdict for verdict in VERDICTS}

# Counted by the proof itself, positions on all eight files: verdict, positions, exceptions, longest mate.
PROVEN = [
    (Because.FAR_FROM_PAWN, 800_208, 2, 16),
    (Because.CORNER_CHECK, 1_872, 0, 9),
    (Because.MIDDLE_PAWN, 380_558, 0, 27),
    (Because.MIDDLE_PAWN_IN_LINE, 161_938, 100, 28),
    (Because.ROOK_PAWN_NEAR, 96_302, 0, 12),
    (Because.ROOK_PAWN_FAR, 6_438, 0, None),
    (Because.ROOK_PAWN_CORNER_NEAR, 2_616, 4, 12),
    (Because.ROOK_PAWN_CORNER_FAR, 1_716, 0, None),
    (Because.BISHOP_PAWN_SHORT_NEAR, 3_710, 2, 9),
    (Because.BISHOP_PAWN_LONG_NEAR, 9_806, 8, 14),
    (Because.BISHOP_PAWN_SHORT_FAR, 6_530, 0, None),
    (Because.BISHOP_PAWN_CORNER_FAR, 2_564, 0, None),
    (Because.BISHOP_PAWN_LONG_FAR, 4_204, 0, None),
]

# The few exceptions of the verdicts that have fewer than ten, pawn on files a to d.
LISTED = {
    Because.FAR_FROM_PAWN: {"4Q3/8/2K5/8/8/8/2p2k2/8"},
    Because.ROOK_PAWN_CORNER_NEAR: {"8/8/4K3/3Q4/8/8/p7/k7", "8/8/8/5K2/4Q3/8/p7/k7"},
    Because.BISHOP_PAWN_SHORT_NEAR: {"8/8/8/8/8/3K3Q/2p5/1k6"},
    Because.BISHOP_PAWN_LONG_NEAR: {
        "8/8/8/8/8/6K1/2p4Q/2k5",
        "8/8/8/8/8/6KQ/2p5/2k5",
        "8/2Q5/8/8/3K4/8/2p5/3k4",
        "8/8/8/8/6KQ/8/2p5/2k5",
    },
}


def test_every_verdict_is_proven_here() -> None:
    assert [code for code, *_ in PROVEN] == [verdict.because for verdict in VERDICTS]


@pytest.mark.parametrize(("code", "positions", "wrong", "longest"), PROVEN)
def test_a_verdict_is_right_in_every_position_but_its_exceptions(
    code: Because, positions: int, wrong: int, longest: int | None
) -> None:
    proof = prove_verdict(BY_CODE[code])
    assert (proof.positions, proof.wrong, proof.longest) == (positions, wrong, longest)


@pytest.mark.parametrize("code", LISTED)
def test_the_exceptions_are_these(code: Because) -> None:
    assert {fen.split()[0] for fen in prove_verdict(BY_CODE[code]).exceptions} == LISTED[code]


def test_nine_of_ten_positions_are_told_rightly() -> None:
    figures = cover()
    assert (figures.positions, figures.wrong, figures.checked) == (1_117_792, 116, 32_092)
    assert figures.told / figures.positions > 0.89


@pytest.mark.parametrize("square", chess.SQUARES, ids=chess.SQUARE_NAMES)
def test_the_rooks_pawn_zone_is_exactly_where_the_queen_always_wins(square: int) -> None:
    proof = prove_verdict(_rooks_pawn_always_won_with_king_on(square))
    if proof.positions:  # no king stands on the pawn's square, or on b1 without being in check
        assert (proof.wrong == 0) == bool(ROOK_ZONE >> square & 1)


def _rooks_pawn_always_won_with_king_on(square: int) -> Verdict:
    def applies(positions: QueenAndPawn) -> Mask:
        there: Mask = (positions.king == square) & (positions.pawn == chess.A2)
        return there

    return replace(VERDICTS[0], applies=applies)


def test_a_drawn_verdict_that_takes_in_a_square_of_the_zone_is_refuted() -> None:
    def with_king_on_d5(positions: QueenAndPawn) -> Mask:
        outside = BY_CODE[Because.ROOK_PAWN_FAR].applies(positions)
        beside = (positions.pawn == chess.A2) & np.isin(positions.his_king, (chess.B1, chess.B2))
        widened: Mask = outside | (beside & (positions.king == chess.D5))
        return widened

    wider = replace(BY_CODE[Because.ROOK_PAWN_FAR], applies=with_king_on_d5)
    assert prove_verdict(wider).wrong > 0


def boards() -> st.SearchStrategy[chess.Board]:
    """Legal boards with the queen's side to move, either colour, either wing."""

    def build(men: tuple[list[int], int, bool]) -> chess.Board:
        (king, queen, his_king), file, mirrored = men
        board = chess.Board(None)
        for letter, square in zip("KQpk", (king, queen, 8 + file, his_king), strict=True):
            board.set_piece_at(square, chess.Piece.from_symbol(letter))
        return board.mirror() if mirrored else board

    squares_of_men = st.lists(st.integers(0, 63), min_size=3, max_size=3, unique=True)
    parts = st.tuples(squares_of_men, st.integers(0, 7), st.booleans())
    apart = parts.filter(lambda men: 8 + men[1] not in men[0])
    return apart.map(build).filter(chess.Board.is_valid)


@given(boards())
def test_colours_and_wings_make_no_difference(board: chess.Board) -> None:
    verdicts = find_verdicts(board)
    assert find_verdicts(board.mirror()) == verdicts
    assert find_verdicts(board.transform(chess.flip_horizontal)) == verdicts


@given(boards())
def test_there_is_no_verdict_while_the_pawn_gives_check(board: chess.Board) -> None:
    assert not (board.is_check() and find_verdicts(board))


def test_a_pawn_that_gives_check_leaves_no_verdict() -> None:
    board = chess.Board("7Q/8/8/8/8/k7/2p5/1K6 w - - 0 1")
    assert board.is_valid()
    assert board.is_check()
    assert find_verdicts(board) == ()


@pytest.mark.parametrize(
    "fen",
    [
        "8/8/8/8/8/k7/2p5/K6Q b - - 0 1",  # the other side to move
        "8/8/8/8/2p5/1k6/8/K6Q w - - 0 1",  # the pawn is not on its seventh
        "8/8/8/8/8/1k6/8/K6Q w - - 0 1",  # no pawn
        "8/8/8/8/8/k7/2p4P/K6R w - - 0 1",  # no queen
    ],
)
def test_other_boards_have_no_verdict(fen: str) -> None:
    assert find_verdicts(chess.Board(fen)) == ()


# Common practice, no source: rook's and bishop's pawns draw with the king far off, others lose.
@pytest.mark.parametrize(
    ("fen", "won"),
    [
        ("7K/8/7Q/8/8/8/p7/1k6 w - - 0 1", False),
        ("8/8/7Q/3K4/8/8/p7/1k6 w - - 0 1", True),
        ("7K/8/7Q/8/8/8/2p5/1k6 w - - 0 1", False),
        ("8/7K/7Q/8/8/8/3pk3/8 w - - 0 1", True),
        ("7K/8/7Q/8/8/8/1pk5/8 w - - 0 1", True),
    ],
)
def test_the_well_known_cases(fen: str, won: bool) -> None:
    assert {verdict.won for verdict in find_verdicts(chess.Board(fen))} == {won}


def test_blocks_of_squares() -> None:
    assert squares("a1-b2", "h8-h8") == chess.BB_A1 | chess.BB_A2 | chess.BB_B1 | chess.BB_B2 | chess.BB_H8

"""What the verdicts on king and pawn say, held against the tables (which are held against Gaviota)."""

from dataclasses import replace

import chess
import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from coachbook.endgame.probe import Result, probe
from coachbook.method.king_and_pawn_verdicts import VERDICTS, find_verdicts
from coachbook.method.moves import Side
from coachbook.method.pawn_sights import PICTURES, every_position
from coachbook.method.positions import Feature, Mask, is_stalemate
from coachbook.model.because import Because
from tests.method.pawn_verdict_proof import cover, prove_verdict
from tests.method.plain import legal_boards

BY_CODE = {verdict.because: verdict for verdict in VERDICTS}
HE = (Side.LONE_KING,)

# Counted by the proof itself, mirror images too: verdict, positions told, its exceptions in all (those
# in which it would be wrong). The project's list of published check values has three of them,
# halved by the mirror: about 4,000 key squares, 1,310 corners with him to move, 34,597 outside the square.
PROVEN: list[tuple[Because, int, list[tuple[int, int]]]] = [
    (Because.KEY_SQUARE_TO_MOVE, 7_886, []),
    (Because.KEY_SQUARE, 7_468, [(510, 510), (4, 4)]),
    (Because.OUTSIDE_SQUARE_TO_MOVE, 94_446, [(5_046, 4)]),
    (Because.OUTSIDE_SQUARE, 69_194, [(3_352, 116), (1_198, 1_198)]),
    (Because.PAWN_FALLS, 18_196, []),
    (Because.ROOK_PAWN_CORNER, 2_620 + 2_394, []),
    (Because.BEFORE_ROOK_PAWN, 2 * 2_430, []),
    (Because.SHUT_IN, 2 * 42, []),
    (Because.RIGHT_BEFORE, 2 * 2_230, []),
    (Because.TWO_BEFORE, 2_212, []),
    (Because.TWO_BEFORE_TO_MOVE, 1_752, []),
    (Because.OPPOSITION, 72, []),
    (Because.OPPOSITION_TO_MOVE, 54, []),
    (Because.INSIDE_SQUARE_TO_MOVE, 14_874, []),
    (Because.INSIDE_SQUARE, 26_510, []),
    (Because.ROOK_PAWN_KEY_SQUARE, 1_004, []),
    (Because.FAR_AHEAD, 8_974, [(2, 2)]),
    (Because.AHEAD_WITH_OPPOSITION, 2_068, [(2, 2)]),
    (Because.SHIELD, 4_586, [(2, 2)]),
    (Because.SIDE_BY_SIDE, 180, []),
    (Because.LAST_STEP, 2_654, [(8, 8)]),
]


def test_every_verdict_is_proven_here() -> None:
    assert [code for code, *_ in PROVEN] == [verdict.because for verdict in VERDICTS]


@pytest.mark.parametrize(("code", "told", "exceptions"), PROVEN)
def test_a_verdict_is_right_in_every_position_but_its_exceptions(
    code: Because, told: int, exceptions: list[tuple[int, int]]
) -> None:
    proof = prove_verdict(BY_CODE[code])
    assert proof.wrong == ()
    assert proof.told == told
    assert list(proof.excepted) == exceptions


@pytest.mark.parametrize("code", [code for code, _, exceptions in PROVEN if exceptions])
def test_without_its_exceptions_a_verdict_is_caught_with_the_boards(code: Because) -> None:
    verdict = BY_CODE[code]
    proof = prove_verdict(replace(verdict, unless=()))
    assert proof.wrong
    for fen in proof.wrong[:20]:
        board = chess.Board(fen)
        assert board.is_valid()
        assert _is_won(board) is not verdict.won


def test_an_opposite_verdict_is_wrong_everywhere() -> None:
    verdict = BY_CODE[Because.ROOK_PAWN_CORNER]
    assert len(prove_verdict(replace(verdict, won=True)).wrong) == 2_620 + 2_394


def test_how_much_the_verdicts_tell() -> None:
    assert (cover(Side.ATTACKER).positions, cover(Side.ATTACKER).told) == (163_328, 117_146)
    assert (cover(Side.LONE_KING).positions, cover(Side.LONE_KING).told) == (168_024, 115_712)


@pytest.mark.parametrize("picture", [picture for _, picture in PICTURES], ids=[name for name, _ in PICTURES])
def test_of_each_winning_picture_of_the_method_a_verdict_tells(picture: Feature[Mask]) -> None:
    positions, won = every_position(Side.LONE_KING)
    shown = picture(positions) & ~is_stalemate(positions)
    told = [verdict.tells(positions) for verdict in VERDICTS if verdict.won and verdict.to_move == HE]
    assert shown.any()
    assert won[shown].all()
    assert not (shown & ~np.logical_or.reduce(told)).any()


@given(legal_boards("P", chess.WHITE) | legal_boards("P", chess.BLACK), st.booleans())
def test_what_is_told_of_a_board_is_so(board: chess.Board, mirrored: bool) -> None:
    board = board.mirror() if mirrored else board
    for verdict in find_verdicts(board):
        assert verdict.won is _is_won(board)


@pytest.mark.parametrize(
    ("fen", "codes"),
    [
        (
            "8/8/3k4/8/3K4/8/3P4/8 b - - 0 1",
            {Because.KEY_SQUARE, Because.FAR_AHEAD, Because.AHEAD_WITH_OPPOSITION},
        ),
        ("8/8/8/3k4/8/3K4/3P4/8 w - - 0 1", {Because.OPPOSITION_TO_MOVE}),
        ("7k/8/8/8/8/8/P7/K7 w - - 0 1", {Because.OUTSIDE_SQUARE_TO_MOVE}),
        ("k7/8/8/8/8/8/P7/K7 w - - 0 1", {Because.ROOK_PAWN_CORNER, Because.BEFORE_ROOK_PAWN}),
        ("8/8/8/8/4k3/8/Q7/K7 w - - 0 1", set()),
    ],
)  # own positions
def test_the_verdicts_on_a_board_are_found(fen: str, codes: set[Because]) -> None:
    board = chess.Board(fen)
    assert {verdict.because for verdict in find_verdicts(board)} == codes
    assert {verdict.because for verdict in find_verdicts(board.mirror())} == codes


def _is_won(board: chess.Board) -> bool:
    """Whether the pawn wins, whoever is to move."""
    return probe(board).result is not Result.DRAW

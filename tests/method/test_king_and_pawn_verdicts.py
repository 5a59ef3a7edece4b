"""What the verdicts on king and pawn say, held against the tables (which are held against Gaviota)."""

from dataclasses import replace

import chess
import pytest
from hypothesis import given
from hypothesis import strategies as st

from coachbook.endgame.probe import Result, probe
from coachbook.method.king_and_pawn_verdicts import VERDICTS, Verdict, find_verdicts
from coachbook.method.moves import Side
from coachbook.method.pawn_sights import PICTURES
from coachbook.method.pawn_verdict_proof import cover, prove_verdict
from tests.method.plain import legal_boards

BY_NAME = {verdict.name: verdict for verdict in VERDICTS}
TAKES, STALEMATE = "he can take the pawn at once", "it is stalemate"
IN_THE_WAY = "your own king stands in the pawn's way"

# Counted by the proof itself, mirror images too: name, positions told, named exceptions in all (those
# in which the sentence would be wrong). The project's list of published check values has three of them,
# halved by the mirror: about 4,000 key squares, 1,310 corners with him to move, 34,597 outside the square.
PROVEN: list[tuple[str, int, dict[str, tuple[int, int]]]] = [
    ("key square, you to move", 7_886, {}),
    ("key square, he to move", 7_468, {TAKES: (510, 510), STALEMATE: (4, 4)}),
    ("outside the square, you to move", 94_446, {IN_THE_WAY: (5_046, 4)}),
    ("outside the square, he to move", 69_194, {IN_THE_WAY: (3_352, 116), TAKES: (1_198, 1_198)}),
    ("edge pawn, corner", 2_620 + 2_394, {}),
    ("before an edge pawn", 2 * 2_430, {}),
    ("shut in", 2 * 42, {}),
    ("right before the pawn", 2 * 2_230, {}),
    ("two before the pawn, he to move", 2_212, {}),
    ("two before the pawn, you to move", 1_752, {}),
    ("opposition, he to move", 72, {}),
    ("opposition, you to move", 54, {}),
    ("far ahead", 9_978, {STALEMATE: (2, 2)}),
    ("ahead of a far pawn", 3_038, {STALEMATE: (2, 2)}),
    ("ahead with the opposition", 2_068, {STALEMATE: (2, 2)}),
    ("shield", 4_586, {STALEMATE: (2, 2)}),
    ("side by side", 180, {}),
    ("last step", 2_654, {STALEMATE: (8, 8)}),
]


def test_every_verdict_is_proven_here() -> None:
    assert [name for name, *_ in PROVEN] == [verdict.name for verdict in VERDICTS]


@pytest.mark.parametrize(("name", "told", "exceptions"), PROVEN)
def test_a_verdict_is_right_in_every_position_but_its_named_exceptions(
    name: str, told: int, exceptions: dict[str, tuple[int, int]]
) -> None:
    proof = prove_verdict(BY_NAME[name])
    assert proof.wrong == ()
    assert proof.told == told
    excepted, needed = dict(proof.excepted), dict(proof.needed)
    assert {words: (excepted[words], needed[words]) for words in excepted} == exceptions


@pytest.mark.parametrize("name", [name for name, _, exceptions in PROVEN if exceptions])
def test_without_its_exceptions_a_verdict_is_caught_with_the_boards(name: str) -> None:
    verdict = BY_NAME[name]
    proof = prove_verdict(replace(verdict, unless=()))
    assert proof.wrong
    for fen in proof.wrong[:20]:
        board = chess.Board(fen)
        assert board.is_valid()
        assert _is_won(board) is not verdict.won


def test_an_opposite_verdict_is_wrong_everywhere() -> None:
    verdict = BY_NAME["edge pawn, corner"]
    assert len(prove_verdict(replace(verdict, won=True)).wrong) == 2_620 + 2_394


def test_how_much_the_verdicts_tell() -> None:
    assert (cover(Side.ATTACKER).positions, cover(Side.ATTACKER).told) == (163_328, 105_312)
    assert (cover(Side.LONE_KING).positions, cover(Side.LONE_KING).told) == (168_024, 87_146)


def test_each_winning_picture_of_the_method_is_a_verdict() -> None:
    pictures = {picture for _, picture in PICTURES}
    assert {verdict.applies for verdict in VERDICTS} >= pictures


@given(legal_boards("P", chess.WHITE) | legal_boards("P", chess.BLACK), st.booleans())
def test_what_is_told_of_a_board_is_so(board: chess.Board, mirrored: bool) -> None:
    board = board.mirror() if mirrored else board
    for verdict in find_verdicts(board):
        assert verdict.won is _is_won(board)


@pytest.mark.parametrize(
    ("fen", "names"),
    [
        (
            "8/8/3k4/8/3K4/8/3P4/8 b - - 0 1",
            {"key square, he to move", "far ahead", "ahead with the opposition"},
        ),
        ("8/8/8/3k4/8/3K4/3P4/8 w - - 0 1", {"opposition, you to move"}),
        ("7k/8/8/8/8/8/P7/K7 w - - 0 1", {"outside the square, you to move"}),
        ("k7/8/8/8/8/8/P7/K7 w - - 0 1", {"edge pawn, corner", "before an edge pawn"}),
        ("8/8/8/8/4k3/8/Q7/K7 w - - 0 1", set()),
    ],
)  # own positions
def test_the_verdicts_on_a_board_are_found(fen: str, names: set[str]) -> None:
    board = chess.Board(fen)
    assert {verdict.name for verdict in find_verdicts(board)} == names
    assert {verdict.name for verdict in find_verdicts(board.mirror())} == names


@pytest.mark.parametrize("verdict", VERDICTS, ids=list(BY_NAME))
def test_a_verdict_says_who_wins(verdict: Verdict) -> None:
    assert ("you win" in verdict.words) is verdict.won
    assert ("a draw" in verdict.words) is not verdict.won


def _is_won(board: chess.Board) -> bool:
    """Whether the pawn wins, whoever is to move."""
    return probe(board).result is not Result.DRAW

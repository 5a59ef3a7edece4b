import chess
import pytest
from hypothesis import given
from hypothesis import strategies as st

from coachbook.endgame.material import parse_material
from coachbook.endgame.symmetry import look, looks, symmetry_key, turns
from tests.endgame.positions import ENDINGS, positions

boards = st.builds(
    lambda ending, seed: next(positions(parse_material(ending), 1, seed)),
    st.sampled_from(ENDINGS),
    st.integers(0, 2**32),
)
QUEEN = "8/8/8/5k2/8/8/1Q6/K7 w - - 0 1"
EN_PASSANT = "7k/8/8/8/Pp6/8/8/K7 b - a3 0 1"


def test_without_pawns_there_are_eight_looks_with_pawns_two() -> None:
    assert len({board.epd() for board in looks(chess.Board("8/8/8/5k2/3Q4/8/1K6/8 w - - 0 1"))}) == 8
    assert len({board.epd() for board in looks(chess.Board("8/8/8/5k2/8/8/1P6/K7 w - - 0 1"))}) == 2


def test_turns_are_made_of_files_reversed_ranks_reversed_and_the_diagonal_reflected() -> None:
    shown = [board.board_fen() for board in looks(chess.Board(QUEEN))]
    assert shown[:5] == [
        "8/8/8/5k2/8/8/1Q6/K7",
        "8/8/8/2k5/8/8/6Q1/7K",
        "K7/1Q6/8/8/5k2/8/8/8",
        "7K/6Q1/8/8/2k5/8/8/8",
        "8/8/4k3/8/8/8/1Q6/K7",
    ]


def test_the_en_passant_square_is_mirrored_with_its_pawn() -> None:
    mirrored = looks(chess.Board(EN_PASSANT))[1]
    assert mirrored.fen(en_passant="fen") == "k7/8/8/8/6pP/8/8/7K b - h3 0 1"


@given(boards)
def test_each_look_has_the_key_of_the_position_and_so_has_the_one_with_colours_exchanged(
    board: chess.Board,
) -> None:
    assert looks(board)[0] == board
    for one in (*looks(board), *looks(board.mirror())):
        assert symmetry_key(one) == symmetry_key(board)
        assert one.is_valid() is board.is_valid()


@given(boards, st.integers(0, 7), st.integers(0, 7))
def test_the_looks_of_a_look_are_the_same_looks(board: chess.Board, first: int, second: int) -> None:
    turn, again = (turns(board)[number % len(turns(board))] for number in (first, second))
    assert look(look(board, turn), again).epd() in {one.epd() for one in looks(board)}


@pytest.mark.parametrize(
    "other",
    [
        "8/8/8/5k2/8/8/1Q6/K7 b - - 0 1",
        "8/8/8/5k2/8/8/1R6/K7 w - - 0 1",
        "8/8/8/5k2/8/8/1q6/K7 w - - 0 1",
        "8/8/8/4k3/8/8/1Q6/K7 w - - 0 1",
    ],
)
def test_another_position_has_another_key(other: str) -> None:
    assert symmetry_key(chess.Board(other)) != symmetry_key(chess.Board(QUEEN))


@pytest.mark.parametrize(("fen", "differs"), [(EN_PASSANT, True), ("7k/8/8/8/P7/1p6/8/K7 b - a3 0 1", False)])
def test_a_double_step_makes_another_position_if_it_can_be_answered_en_passant(
    fen: str, differs: bool
) -> None:
    board = chess.Board(fen)
    without = board.copy()
    without.ep_square = None
    assert (symmetry_key(board) != symmetry_key(without)) is differs

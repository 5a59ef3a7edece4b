"""Sizes of boxes. Where a test says "common practice", the fact is one of the trade, without a source."""

import chess
import pytest
from hypothesis import given

from coachbook.method.border import from_board
from coachbook.method.box import NO_BOX, region, region_size, walls, walls_broken, walls_size
from coachbook.method.positions import can_be_taken, is_stalemate
from tests.judges import box
from tests.judges.moves import placed
from tests.method.plain import legal_boards


@given(legal_boards("Q") | legal_boards("R"))
def test_walls_and_region_are_those_of_a_plain_count(position: chess.Board) -> None:
    positions = from_board(position)
    assert set(map(chess.square_name, chess.SquareSet(int(walls(positions)[0])))) == box.walls(position)
    assert set(map(chess.square_name, chess.SquareSet(int(region(positions)[0])))) == box.region(position)


@given(legal_boards("Q") | legal_boards("R"))
def test_walls_count_as_no_box_only_on_a_line_or_with_a_broken_fence(position: chess.Board) -> None:
    positions = from_board(position)
    size, squares = int(walls_size(positions)[0]), box.walls(position)
    broken = bool(walls_broken(positions)[0])
    assert size == (NO_BOX if broken or not squares else len(squares))


# Source: this project's list of published check values, "computed here by two separate programs";
# the attacking king stands out of the way.
@pytest.mark.parametrize(
    ("piece", "king", "lone", "by_walls", "by_region"),
    [
        ("Q", "h8", "a1", 9, 6),
        ("R", "h8", "a1", 9, 9),
        ("Q", "a8", "g2", 12, 9),
        ("R", "a8", "g2", 12, 12),
        ("Q", "h1", "b7", 12, 9),
        ("R", "h1", "b7", 12, 12),
        ("Q", "a1", "f7", 16, 12),
        ("R", "a1", "f7", 16, 16),
    ],
)
def test_boxes_of_a_piece_on_d4(piece: str, king: str, lone: str, by_walls: int, by_region: int) -> None:
    positions = from_board(placed(f"K{king} k{lone} {piece}d4"))
    assert walls_size(positions)[0] == by_walls
    assert region_size(positions)[0] == by_region


# Common practice, no source: the cornered king.
@pytest.mark.parametrize("queen", ["e2", "g4"])
def test_a_queen_that_leaves_the_cornered_king_two_squares_stops_well(queen: str) -> None:
    positions = from_board(placed(f"Ka8 kh1 Q{queen}"))
    assert walls_size(positions)[0] == 3
    assert region_size(positions)[0] == 2
    assert not is_stalemate(positions)[0]


@pytest.mark.parametrize("queen", ["f2", "g3"])
def test_a_queen_a_knights_move_from_the_cornered_king_stalemates(queen: str) -> None:
    assert is_stalemate(from_board(placed(f"Ka8 kh1 Q{queen}")))[0]


@pytest.mark.parametrize(("corner", "queen"), [("a1", "b3"), ("a1", "c2"), ("a8", "c7"), ("h8", "g6")])
def test_the_stalemate_a_knights_move_away_is_the_same_in_every_corner(corner: str, queen: str) -> None:
    assert is_stalemate(from_board(placed(f"Ke4 k{corner} Q{queen}")))[0]


def test_a_king_on_g1_and_a_queen_on_f3_have_a_box_of_four_but_two_squares() -> None:
    positions = from_board(placed("Ka8 kg1 Qf3"))
    assert (walls_size(positions)[0], region_size(positions)[0]) == (4, 2)


def test_several_mates_are_possible_with_the_king_on_the_long_side() -> None:
    position = placed("Kg6 kh8 Qe7")  # common practice, no source; a position of our own
    mates = {position.san(move) for move in position.legal_moves if "#" in position.san(move)}
    assert mates == {"Qd8#", "Qe8#", "Qf8#", "Qg7#", "Qh7#"}


def test_an_unguarded_rook_next_to_the_king_is_lost() -> None:
    positions = from_board(placed("Ka8 ke5 Rd4"))  # common practice: a king attacks diagonally
    assert can_be_taken(positions)[0]


def test_a_king_on_the_wall_breaks_the_fence_unless_one_square_is_behind_him() -> None:
    assert walls_broken(from_board(placed("Kd3 kb1 Qd5")))[0]
    assert not walls_broken(from_board(placed("Kd2 kb5 Qd3")))[0]
    assert not walls_broken(from_board(placed("Kd2 kb3 Qd5")))[0]

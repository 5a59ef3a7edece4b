"""What level 2 tells a class about the queen's box is true."""

import chess

from tests.judges.box import region, walls
from tests.judges.moves import can_take, placed
from tests.syllabus.boards import after, board_of, boxes, king_squares, mates, rectangle, stalemates, steps


def smallest(board: chess.Board) -> tuple[set[str], int]:
    sizes = boxes(board)
    least = min(sizes.values())
    return {move for move, size in sizes.items() if size == least}, least


def test_queen_walls_the_box_has_thirty_squares_and_two_moves_make_the_smallest() -> None:
    board = board_of("queen-walls")
    assert walls(board) == rectangle("d3", "h8")
    assert len(walls(board)) == 30
    assert smallest(board) == ({"Qc4", "Qd3"}, 20)
    assert walls(after(board, "Qc4")) == rectangle("d5", "h8")
    assert walls(after(board, "Qd3")) == rectangle("e4", "h8")


def test_queen_walls_on_e4_she_is_taken_and_after_the_check_on_c5_there_is_no_box() -> None:
    board = board_of("queen-walls")
    assert can_take(after(board, "Qe4"))
    checked = after(board, "Qc5")
    assert checked.is_check()
    assert not walls(checked)
    assert {square[1] for square in king_squares(checked)} == {"4", "6"}


def test_queen_walls_the_largest_box_has_forty_nine_squares() -> None:
    sizes = {
        square: len(walls(placed(f"Q{chess.square_name(square)} kd4")))
        for square in chess.SQUARES
        if square != chess.D4
    }
    largest = {square for square, size in sizes.items() if size == max(sizes.values())}
    assert max(sizes.values()) == 49
    assert largest == {chess.A1, chess.A8, chess.H1, chess.H8}


def test_queen_shrink_two_moves_make_a_box_of_twelve_and_one_of_them_copies_his_step() -> None:
    board = board_of("queen-shrink")
    assert walls(board) == rectangle("e5", "h8")
    assert smallest(board) == ({"Qb6", "Qd5"}, 12)
    assert walls(after(board, "Qd5")) == rectangle("e6", "h8")
    assert walls(after(board, "Qb6")) == rectangle("c7", "h8")
    assert chess.E7 - chess.E6 == chess.D5 - chess.D4


def test_queen_shrink_on_d6_the_box_would_have_eight_squares_but_he_takes_her() -> None:
    board = after(board_of("queen-shrink"), "Qd6")
    assert len(walls(board)) == 8
    assert can_take(board)


def test_queen_shrink_two_stalemates_and_two_good_stops_against_a_king_on_h8() -> None:
    for square in ("f7", "g6"):
        assert placed(f"Ka1 Q{square} kh8", white_to_move=False).is_stalemate()
    for square, free in (("e7", "g8"), ("g5", "h7")):
        board = placed(f"Ka1 Q{square} kh8", white_to_move=False)
        assert king_squares(board) == {free}
        assert region(board) == {"h8", free}


def test_queen_mates_he_has_two_squares_and_the_king_five_steps_to_f6() -> None:
    board = board_of("queen-mates")
    assert region(board) == {"g8", "h8"}
    assert steps(chess.A1, chess.F6) == 5
    path = [chess.B2, chess.C3, chess.D4, chess.E5, chess.F6]
    assert all(steps(start, end) == 1 for start, end in zip([chess.A1, *path], path, strict=False))


def test_queen_mates_with_the_king_on_f6_only_g7_mates_on_both_squares() -> None:
    for lone in ("g8", "h8"):
        assert mates(placed(f"Kf6 Qe7 k{lone}")) == {"Qg7"}
    cornered = placed("Kf6 Qe7 kh8")
    assert "Qf7" in stalemates(cornered)
    assert can_take(after(cornered, "Qh7"))


def test_queen_mates_with_the_king_on_g6_there_are_five_mates_and_two_draws() -> None:
    board = placed("Kg6 Qe7 kh8")
    assert len(mates(board)) == 5
    assert stalemates(board) == {"Qe6", "Qf7"}


def test_queen_box_the_demonstration_box_has_sixteen_squares() -> None:
    assert walls(board_of("queen-box")) == rectangle("e5", "h8")


def test_queen_box_only_the_move_to_c5_makes_it_smaller_and_then_it_has_fifteen() -> None:
    board = board_of("queen-box")
    assert {move: size for move, size in boxes(board).items() if size < 16} == {"Qc5": 15}
    assert walls(after(board, "Qc5")) == rectangle("d6", "h8")


def test_queen_box_he_walks_between_two_squares_on_the_edge_and_f2_is_stalemate() -> None:
    assert region(placed("Ka2 Qe2 kh1")) == {"g1", "h1"}
    assert placed("Ka2 Qf2 kh1", white_to_move=False).is_stalemate()

"""What level 3 tells a class about the rook's box is true."""

import chess

from coachbook.endgame.probe import probe
from tests.judges.box import region, walls
from tests.judges.moves import can_take, placed
from tests.syllabus.boards import (
    after,
    board_of,
    boxes,
    king_squares,
    lone_king_positions,
    mates,
    moves_that,
    rectangle,
    stalemates,
    steps,
)


def test_rook_walls_the_box_has_twenty_four_squares_and_rook_to_d4_makes_the_smallest() -> None:
    board = board_of("rook-walls")
    assert walls(board) == region(board) == rectangle("e3", "h8")
    assert boxes(board)["Rd3"] == 20
    assert walls(after(board, "Rd3")) == region(after(board, "Rd3")) == rectangle("e4", "h8")
    assert min(boxes(board).items(), key=lambda item: item[1]) == ("Rd4", 16)
    assert sorted(boxes(board).values())[1] > 16
    assert walls(after(board, "Rd4")) == region(after(board, "Rd4")) == rectangle("e5", "h8")


def test_rook_walls_a_king_on_e3_leaves_him_twenty_squares() -> None:
    board = placed("Ke3 Rd2 ke5")
    assert rectangle("e3", "h8") - region(board) == {"e3", "e4", "f3", "f4"}
    assert len(region(board)) == 20


def test_rook_walls_he_takes_the_rook_on_d5_and_d6_only() -> None:
    assert moves_that(board_of("rook-walls"), can_take) == {"Rd5", "Rd6"}


def test_rook_walls_five_squares_guard_a_rook_on_d4_against_a_king_on_e5() -> None:
    squares = {
        chess.square_name(square)
        for square in chess.SQUARES
        if steps(square, chess.D4) == 1 and steps(square, chess.E5) > 1
    }
    assert squares == {"c3", "c4", "c5", "d3", "e3"}


def test_rook_waiting_after_a_waiting_move_it_is_mate_on_the_third_move_at_the_latest() -> None:
    board = board_of("rook-waiting")
    assert all(board.is_attacked_by(chess.WHITE, square) for square in range(chess.A7, chess.H7))
    assert board.attackers(chess.WHITE, chess.B7) & chess.BB_C6
    assert board.attackers(chess.WHITE, chess.C7) & chess.BB_C6
    for wait in ("Rg7", "Rf7", "Re7"):
        assert king_squares(after(board, wait)) == {"a8", "c8"}
        assert probe(after(board, wait)).moves == 2
    assert "Rg8" in mates(after(board, "Rg7", "Kc8"))
    cornered = after(board, "Rg7", "Ka8", "Kb6")
    assert king_squares(cornered) == {"b8"}
    assert "Rg8" in mates(after(cornered, "Kb8"))
    assert can_take(after(board, "Ra7"))


def test_rook_waiting_a_check_on_h6_drives_him_back_to_the_seventh_rank() -> None:
    assert king_squares(after(placed("Kd4 Rh5 kd6"), "Rh6")) == {"c7", "d7", "e7"}


def test_rook_mates_the_king_goes_to_c7_and_the_rook_mates_on_a1() -> None:
    board = board_of("rook-mates")
    assert king_squares(placed("Kc6 Rb1 ka8", white_to_move=False)) == {"a7"}
    assert king_squares(after(board, "Kc7")) == {"a7"}
    assert "Ra1" in mates(after(board, "Kc7", "Ka7"))
    assert "Rb7" in stalemates(board)
    assert can_take(after(board, "Rb8"))
    assert mates(placed("Kc7 Rb1 ka8")) == {"Ra1"}


def test_rook_mates_every_mate_is_one_of_the_two_pictures() -> None:
    mated = [board for board in lone_king_positions("R") if board.is_checkmate()]
    assert mated
    for board in mated:
        king, lone = board.king(chess.WHITE), board.king(chess.BLACK)
        assert king is not None
        assert lone is not None
        over = abs(chess.square_file(king) - chess.square_file(lone))
        up = abs(chess.square_rank(king) - chess.square_rank(lone))
        face_to_face = {over, up} == {0, 2}
        assert face_to_face or (lone == chess.A1 and {over, up} == {1, 2})


def test_rook_mates_every_stalemate_is_in_the_corner() -> None:
    stuck = [board.king(chess.BLACK) for board in lone_king_positions("R") if board.is_stalemate()]
    assert set(stuck) == {chess.A1}


def test_rook_box_the_demonstration_box_has_sixteen_squares_and_no_safe_rook_move_shrinks_it() -> None:
    board = board_of("rook-box")
    assert region(board) == rectangle("e5", "h8")
    assert all(len(region(after(board, move))) >= 16 for move in boxes(board))
    assert "Kc4" in moves_that(board, lambda then: then.king(chess.WHITE) == chess.C4)
    assert can_take(after(board, "Rd5"))


def test_rook_box_with_kings_on_a8_and_b6_the_rook_stalemates_on_b7_and_mates_on_the_eighth_rank() -> None:
    board = placed("Kb6 Rh7 ka8")
    assert stalemates(board) == {"Rb7"}
    assert mates(board) == {"Rh8"}

"""What level 1 tells a class about its positions is true by the rules of `chess`."""

import chess
import pytest

from tests.judges.moves import can_take, placed
from tests.syllabus.boards import after, board_of, king_squares, lone_king_positions, mates, stalemates


def test_mate_or_stalemate_one_rook_move_mates_and_the_other_two_leave_him_b8() -> None:
    board = board_of("mate-or-stalemate")
    assert mates(board) == {"Rh8"}
    for move, check in (("Ra1", True), ("Rh7", False)):
        assert after(board, move).is_check() == check
        assert king_squares(after(board, move)) == {"b8"}


def test_mate_or_stalemate_a_queen_on_g6_stalemates_him_on_h8() -> None:
    assert placed("Ka1 Qg6 kh8", white_to_move=False).is_stalemate()


def test_mate_or_stalemate_a_king_has_three_five_or_eight_squares_around_him() -> None:
    counted = [chess.BB_KING_ATTACKS[square].bit_count() for square in (chess.A1, chess.D1, chess.D4)]
    assert counted == [3, 5, 8]


def test_mate_in_one_two_queen_moves_mate_and_one_stalemates() -> None:
    board = board_of("mate-in-one")
    assert mates(board) == {"Qe7", "Qh8"}
    assert stalemates(board) == {"Qf6"}
    assert can_take(after(board, "Qd8"))
    assert after(board, "Qh5").is_check()
    assert king_squares(after(board, "Qh5")) == {"d8", "f8"}


@pytest.mark.parametrize("piece", ["Q", "R"])
def test_mate_in_one_a_lone_king_is_mated_by_king_and_one_piece_at_the_edge_only(piece: str) -> None:
    edge = chess.SquareSet(chess.BB_BACKRANKS | chess.BB_FILE_A | chess.BB_FILE_H)
    mated = [board for board in lone_king_positions(piece) if board.is_checkmate()]
    assert mated
    assert all(edge & board.kings & board.occupied_co[chess.BLACK] for board in mated)


def test_two_majors_the_rook_on_h4_is_the_fence_and_the_check_on_a5_drives_him_up() -> None:
    board = board_of("two-majors")
    assert all(board.is_attacked_by(chess.WHITE, square) for square in range(chess.A4, chess.H4))
    checked = after(board, "Ra5")
    assert checked.is_check()
    assert king_squares(checked) == {"d6", "e6", "f6"}
    for up in sorted(king_squares(checked)):
        assert after(checked, f"K{up}", "Rh6").is_check()


def test_stalemate_traps_one_queen_move_mates_and_two_stalemate() -> None:
    board = board_of("stalemate-traps")
    assert mates(board) == {"Qf8"}
    assert stalemates(board) == {"Qf7", "Qc4"}


def test_stalemate_traps_a_queen_on_b6_stalemates_him_on_a8() -> None:
    assert placed("Kh1 Qb6 ka8", white_to_move=False).is_stalemate()


def test_stalemate_traps_a_queen_all_alone_stalemates_a_cornered_king_from_two_squares() -> None:
    traps = {
        chess.square_name(square)
        for square in chess.SQUARES
        if square not in (chess.A1, chess.H8)
        and placed(f"Ka1 Q{chess.square_name(square)} kh8", white_to_move=False).is_stalemate()
    }
    assert traps == {"f7", "g6"}

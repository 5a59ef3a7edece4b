"""What level 6 tells a class about the finer endings is true by the exact tables."""

import chess
import pytest

from coachbook.endgame.probe import Result, probe
from tests.judges.moves import can_take, placed
from tests.syllabus.boards import after, board_of, king_squares, mates, stalemates
from tests.syllabus.truth import DRAW, LOSS, WIN, mate_in, moves_to, result_of


def test_rook_and_pawn_two_rook_moves_draw_and_the_push_mates_in_eight() -> None:
    board = board_of("rook-and-pawn")
    assert moves_to(board, DRAW) == {"Rd4", "Rd6"}
    assert all(can_take(after(board, move)) for move in ("Rd4", "Rd6"))
    assert mate_in(board) == 8
    assert mate_in(after(board, "e5")) == 7


def test_rook_and_pawn_with_both_attacked_the_king_may_not_move() -> None:
    board = placed("Ka1 Rg5 Pe5 kf4")
    assert moves_to(board, DRAW) == {"Ka2", "Kb1", "Kb2", "Rf5"}
    assert {"e6", "Rh5"} <= moves_to(board, WIN)
    assert board.attackers(chess.BLACK, chess.G5)
    assert board.attackers(chess.BLACK, chess.E5)
    assert after(board, "Rh5").is_attacked_by(chess.WHITE, chess.E5)


def colour(square: int) -> bool:
    """Whether a square is light."""
    return bool(chess.BB_SQUARES[square] & chess.BB_LIGHT_SQUARES)


def test_wrong_bishop_the_colours_of_corners_and_bishop() -> None:
    assert [colour(square) for square in (chess.A1, chess.H8, chess.A8, chess.H1)] == [
        False,
        False,
        True,
        True,
    ]
    assert colour(chess.D3)
    assert moves_to(placed("Kg5 Ph5 Bd3 ke6", white_to_move=False), DRAW) == {"Kf7"}


def test_wrong_bishop_nothing_wins_against_the_corner_and_the_right_bishop_mates_in_three() -> None:
    wrong, right = placed("Kg6 Ph6 Bd3 kh8"), placed("Kg6 Ph6 Be3 kh8")
    assert moves_to(wrong, WIN) == set()
    assert "h7" in stalemates(wrong) & stalemates(right)
    assert mate_in(right) == 3
    assert {move for move in moves_to(right, WIN) if mate_in(after(right, move)) == 2} == {"Bc5", "Bg5"}


def test_wrong_bishop_three_moves_keep_him_out_of_the_corner() -> None:
    assert moves_to(board_of("wrong-bishop"), WIN) == {"h6", "Kg6", "Bc4"}


@pytest.mark.parametrize("pawn", ["h2", "h3", "h4", "h5", "h6", "h7"])
def test_wrong_bishop_nobody_drives_him_out_of_the_corner(pawn: str) -> None:
    for king in chess.SQUARES:
        for bishop in chess.SquareSet(chess.BB_LIGHT_SQUARES):
            men = {chess.square_name(king), chess.square_name(bishop), pawn, "h8"}
            board = placed(f"K{chess.square_name(king)} B{chess.square_name(bishop)} P{pawn} kh8")
            if len(men) == 4 and board.is_valid():
                assert probe(board).result is Result.DRAW, board.fen()


def test_knight_and_pawn_every_good_move_is_a_king_move() -> None:
    board = board_of("knight-and-pawn")
    assert board.is_attacked_by(chess.WHITE, chess.C5)
    assert {move[0] for move in moves_to(board, WIN)} == {"K"}
    assert {move[0] for move in moves_to(board, DRAW)} == {"N", "c"}


def test_knight_and_pawn_on_a7_it_is_a_draw_and_on_a6_two_moves_throw_the_win_away() -> None:
    assert result_of("Kg1 Nb5 Pa7 ka8") is DRAW
    assert king_squares(placed("Kg1 Nb5 Pa7 ka8", white_to_move=False)) == {"b7"}
    assert placed("Kc7 Nb5 Pa7 ka8", white_to_move=False).is_stalemate()
    board = placed("Kg1 Nb4 Pa6 ka8")
    assert moves_to(board, DRAW) == {"a7", "Nc6"}
    assert stalemates(board) == {"Nc6"}


def test_queen_against_rook_he_lasts_seven_moves_if_he_must_move() -> None:
    board = board_of("queen-against-rook")
    board.turn = chess.BLACK
    assert probe(board).result is LOSS
    assert mate_in(board) == 7


def test_queen_against_rook_the_triangle_hands_over_the_move() -> None:
    board = board_of("queen-against-rook")
    first = after(board, "Qe5")
    assert first.is_check()
    assert king_squares(first) == {"a7", "a8", "c8"}
    assert "Qe8" in mates(after(first, "Kc8"))
    for reply in ("Ka7", "Ka8"):
        second = after(first, reply, "Qa1")
        assert second.is_check()
        third = after(second, "Kb8", "Qa5")
        assert (third.board_fen(), third.turn) == (board.board_fen(), chess.BLACK)


def test_queen_against_rook_two_checks_win_the_rook_on_b1() -> None:
    board = after(placed("Kc6 Qd4 rb1 kb8"), "Qh8")
    assert board.is_check()
    assert [board.san(move) for move in board.legal_moves] == ["Ka7"]
    second = after(board, "Ka7", "Qh7")
    assert second.is_check()
    assert second.is_attacked_by(chess.WHITE, chess.B1)
    assert not second.is_attacked_by(chess.BLACK, chess.B1)


def test_queen_against_rook_the_double_attack_on_g5() -> None:
    board = after(placed("Ka1 Qc1 rh4 kd8"), "Qg5")
    assert board.is_check()
    assert board.is_attacked_by(chess.WHITE, chess.H4)
    assert all(move.from_square == chess.D8 for move in board.legal_moves)
    assert all("Qxh4" in moves_to(after(board, board.san(move)), WIN) for move in board.legal_moves)


def test_bishop_and_knight_the_bishop_is_light_and_he_is_by_the_dark_corner() -> None:
    board = board_of("bishop-and-knight")
    assert colour(chess.E4)
    assert (colour(chess.A8), colour(chess.H1), colour(chess.H8)) == (True, True, False)
    lone = board.king(chess.BLACK)
    assert lone is not None
    assert chess.square_distance(lone, chess.H8) == 2


def test_bishop_and_knight_the_last_moves_in_the_right_corner() -> None:
    board = placed("Kb6 Nc5 Bd7 ka8", white_to_move=False)
    assert king_squares(board) == {"b8"}
    checked = after(board, "Kb8", "Na6")
    assert checked.is_check()
    assert king_squares(checked) == {"a8"}
    assert "Bc6" in mates(after(checked, "Ka8"))
    assert stalemates(placed("Kb6 Nc5 Bg4 ka8")) == {"Na6", "Nd7"}

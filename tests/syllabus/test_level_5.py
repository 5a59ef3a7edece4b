"""What level 5 tells a class about races, queens, rooks and bishops is true by the exact tables."""

import chess

from coachbook.endgame.probe import probe
from tests.judges.moves import can_take, placed
from tests.syllabus.boards import after, board_of, king_squares, mates, stalemates
from tests.syllabus.truth import DRAW, LOSS, WIN, mate_in, moves_to, result_of


def test_pawn_race_the_push_wins_and_the_new_queen_guards_h1() -> None:
    board = board_of("pawn-race")
    assert moves_to(board, WIN) == {"a6"}
    queened = after(board, "a6", "h3", "a7", "h2", "a8=Q")
    assert queened.is_attacked_by(chess.WHITE, chess.H1)
    assert probe(queened).result is LOSS
    board.turn = chess.BLACK
    assert moves_to(board, WIN) == {"h3"}


def test_pawn_race_only_the_push_wins_where_the_king_would_like_to_come() -> None:
    board = placed("Ka1 Pc5 pg4 kg2")
    assert (moves_to(board, WIN), moves_to(board, LOSS)) == ({"c6"}, set())


def test_pawn_race_king_to_g7_is_the_only_move_that_does_not_lose() -> None:
    board = placed("Kh8 Pc6 ph5 ka6")
    assert (moves_to(board, WIN), moves_to(board, DRAW)) == (set(), {"Kg7"})


def test_queen_against_pawn_only_four_checks_win() -> None:
    board = board_of("queen-against-pawn")
    assert moves_to(board, WIN) == {"Qe4", "Qg2", "Qh2", "Qh5"}
    assert all(after(board, move).is_check() for move in moves_to(board, WIN))


def test_queen_against_pawn_in_front_of_his_pawn_he_gives_her_king_a_step() -> None:
    board = after(board_of("queen-against-pawn"), "Qe4", "Kf1", "Qd3", "Ke1", "Qe3", "Kd1")
    assert {"Kb5", "Kb6", "Ka5"} <= moves_to(board, WIN)


def test_queen_against_pawn_far_from_a_pawn_on_c2_or_h2_it_is_a_draw() -> None:
    assert result_of("Ka6 Qh1 pc2 kd2") is DRAW
    assert result_of("Ka6 Qd1 ph2 kg2") is DRAW
    assert "Qxc2" in stalemates(placed("Kh6 Qc8 pc2 ka1"))
    assert placed("Ka6 Qg4 ph2 kh1", white_to_move=False).is_stalemate()


def test_queen_against_pawn_with_the_king_on_e5_to_f4_mates_soonest() -> None:
    board = placed("Ke5 Qd1 ph2 kg2")
    fastest = {move for move in moves_to(board, WIN) if mate_in(after(board, move)) == 5}
    assert (mate_in(board), fastest) == (6, {"Kf4"})


def test_rook_against_pawn_every_rook_move_off_the_fifth_rank_draws() -> None:
    board = board_of("rook-against-pawn")
    rook = {move for move in moves_to(board, WIN) if move.startswith("R")}
    assert all(move.endswith("5") for move in rook)
    assert {move for move in moves_to(board, WIN) if move.startswith("K")} == {"Ka2", "Kb1", "Kb2"}
    assert "Ra3" in moves_to(placed("Ka1 Ra5 ph3 kg6"), WIN)


def test_rook_against_pawn_the_draws_and_the_only_move() -> None:
    assert result_of("Ka1 Ra4 ph4 kg5") is DRAW
    assert result_of("Kd4 Ra8 pd2 kc2") is DRAW
    assert moves_to(placed("Kg4 Ra8 ph2 kg2"), WIN) == {"Ra2"}


def test_two_bishops_two_moves_lose_a_bishop() -> None:
    board = board_of("two-bishops")
    assert moves_to(board, DRAW) == {"Bd4", "Bf5"}
    assert all(can_take(after(board, move)) for move in ("Bd4", "Bf5"))


def test_two_bishops_check_corner_mate() -> None:
    board = after(placed("Kg6 Be7 Bf5 kg8"), "Be6")
    assert board.is_check()
    assert king_squares(board) == {"h8"}
    assert "Bf6" in mates(after(board, "Kh8"))


def test_two_bishops_king_to_e7_stalemates_and_the_bishop_to_d6_mates_soonest() -> None:
    board = placed("Kf6 Be5 Bf5 kg8")
    assert "Ke7" in stalemates(board)
    assert mate_in(board) == 4
    assert {move for move in moves_to(board, WIN) if mate_in(after(board, move)) == 3} == {"Bd6"}
    assert not board.is_attacked_by(chess.WHITE, chess.F8)
    assert after(board, "Bd6").is_attacked_by(chess.WHITE, chess.F8)
    assert king_squares(after(board, "Bd6")) == {"h8"}

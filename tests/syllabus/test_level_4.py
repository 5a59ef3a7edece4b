"""What level 4 tells a class about king and pawn is true by the exact tables."""

from collections.abc import Iterator

import chess
import pytest

from coachbook.endgame.probe import Result, probe
from tests.judges.moves import can_take, placed
from tests.syllabus.boards import after, board_of, stalemates
from tests.syllabus.truth import DRAW, LOSS, WIN, moves_to, result_of


def with_pawn(pawn: int, king: int, white_to_move: bool) -> Iterator[chess.Board]:
    """White's king and pawn on these squares, and the lone king wherever it is legal."""
    for lone in chess.SQUARES:
        if lone not in (pawn, king):
            board = placed(
                f"K{chess.square_name(king)} P{chess.square_name(pawn)} k{chess.square_name(lone)}"
            )
            board.turn = white_to_move
            if board.is_valid():
                yield board


def test_pawn_square_only_the_push_wins_and_he_draws_if_it_is_his_move() -> None:
    board = board_of("pawn-square")
    assert moves_to(board, WIN) == {"a5"}
    board.turn = chess.BLACK
    assert moves_to(board, DRAW) == {"Ke4", "Ke5"}


def test_pawn_square_the_double_step_wins_and_he_steps_in_as_if_it_stood_on_h3() -> None:
    assert moves_to(placed("Ka1 Ph2 kb4"), WIN) == {"h4"}
    assert moves_to(placed("Ka1 Ph2 kb4", white_to_move=False), DRAW) == {"Kc3", "Kc4", "Kc5"}


def test_opposition_king_to_e3_is_the_only_winning_move() -> None:
    assert moves_to(board_of("opposition"), WIN) == {"Ke3"}


def test_opposition_whoever_must_move_on_e5_and_e7_gives_way() -> None:
    assert result_of("Ke5 Pe4 ke7") is DRAW
    assert result_of("Ke5 Pe4 ke7", white_to_move=False) is LOSS


def key_squares(pawn: int) -> list[int]:
    """As the unit words it; for pawns off the edge files, on ranks 2 to 6."""
    file, rank = chess.square_file(pawn), chess.square_rank(pawn)
    ahead = (1, 2) if rank >= 4 else (2,)
    return [chess.square(file + over, rank + up) for up in ahead for over in (-1, 0, 1)]


@pytest.mark.parametrize("pawn", [chess.square(file, rank) for file in range(1, 7) for rank in range(1, 6)])
def test_king_and_pawn_on_a_key_square_it_is_won_unless_he_takes_the_pawn_at_once(pawn: int) -> None:
    for king in key_squares(pawn):
        for board in with_pawn(pawn, king, white_to_move=True):
            assert probe(board).result is Result.WIN, board.fen()
        for board in with_pawn(pawn, king, white_to_move=False):
            assert can_take(board) or board.is_stalemate() or probe(board).result is Result.LOSS, board.fen()


def test_king_and_pawn_the_key_squares_that_are_named() -> None:
    assert [chess.square_name(square) for square in key_squares(chess.D2)] == ["c4", "d4", "e4"]
    named = {chess.square_name(square) for square in key_squares(chess.E5)}
    assert named == {"d6", "e6", "f6", "d7", "e7", "f7"}


def test_king_and_pawn_only_two_king_moves_win_and_both_pushes_draw() -> None:
    board = board_of("king-and-pawn")
    assert moves_to(board, WIN) == {"Kc2", "Ke2"}
    assert {"d3", "d4"} <= moves_to(board, DRAW)


def test_king_and_pawn_on_the_sixth_rank_it_does_not_matter_who_moves() -> None:
    assert result_of("Ke6 Pe5 ke8") is WIN
    assert result_of("Ke6 Pe5 ke8", white_to_move=False) is LOSS


def test_king_and_pawn_d6_is_the_only_move_and_the_check_draws() -> None:
    board = placed("Kd5 Pe5 kf7")
    assert moves_to(board, WIN) == {"Kd6"}
    assert "e6" in moves_to(board, DRAW)


def test_hold_the_pawn_straight_back_and_face_to_face_are_the_only_moves() -> None:
    board = board_of("hold-the-pawn")
    assert moves_to(board, DRAW) == {"Ke8"}
    assert moves_to(board, LOSS) == {"Kd8", "Kf8"}
    board = after(board, "Ke8", "Kd6")
    assert (moves_to(board, DRAW), moves_to(board, LOSS)) == ({"Kd8"}, {"Kf8"})
    checked = after(board, "Kd8", "e7")
    assert checked.is_check()
    assert moves_to(checked, DRAW) == {"Ke8"}
    last = after(checked, "Ke8")
    assert stalemates(last) == {"Ke6"}
    for move in last.legal_moves:
        assert move == chess.Move.from_uci("d6e6") or can_take(after(last, last.san(move)))


def test_hold_the_pawn_in_front_of_it_is_the_only_square() -> None:
    assert moves_to(placed("Kd5 Pe5 kd7", white_to_move=False), DRAW) == {"Ke7"}


def test_rooks_pawn_two_king_moves_win() -> None:
    board = board_of("rooks-pawn")
    assert moves_to(board, WIN) == {"Kb5", "Kb6"}
    assert "Ka6" in moves_to(board, DRAW)


@pytest.mark.parametrize("pawn", [chess.square(0, rank) for rank in range(1, 6)])
@pytest.mark.parametrize("king", [chess.B7, chess.B8])
def test_rooks_pawn_on_b7_or_b8_the_king_wins_if_the_pawn_is_safe(pawn: int, king: int) -> None:
    won = [board for board in with_pawn(pawn, king, white_to_move=True) if probe(board).result is Result.WIN]
    near = [
        board for board in with_pawn(pawn, king, white_to_move=True) if probe(board).result is not Result.WIN
    ]
    assert len(won) > 30
    for board in near:
        lone = board.king(chess.BLACK)
        assert lone is not None
        assert chess.square_distance(lone, pawn) <= chess.square_distance(king, pawn)


@pytest.mark.parametrize("white_to_move", [True, False])
def test_rooks_pawn_he_draws_from_the_corner_always(white_to_move: bool) -> None:
    for pawn in range(chess.A2, chess.A7 + 1, 8):
        for king in chess.SQUARES:
            if king not in (pawn, chess.A8):
                board = placed(f"K{chess.square_name(king)} P{chess.square_name(pawn)} ka8")
                board.turn = white_to_move
                assert not board.is_valid() or probe(board).result is Result.DRAW


def test_rooks_pawn_both_sides_may_be_stalemated() -> None:
    assert "h7" in stalemates(placed("Kg6 Ph6 kh8"))
    assert result_of("Kg6 Ph6 kh8") is DRAW
    for lone in ("c7", "c8"):
        assert placed(f"Ka8 Pa7 k{lone}").is_stalemate()
    shut_in = after(placed("Ka7 Pa6 kc7"), "Ka8", "Kc8", "a7", "Kc7")
    assert shut_in.is_stalemate()


def test_two_pawns_he_takes_one_and_the_other_runs() -> None:
    board = after(board_of("two-pawns"), "Kg2", "Kc4", "Kg1", "Kxb4")
    assert moves_to(board, WIN) == {"a6"}


def test_two_pawns_a_push_too_early_draws_and_the_right_one_wins() -> None:
    board = placed("Kh1 Pa6 Pb5 ka8")
    assert moves_to(board, DRAW) == {"a7"}
    assert can_take(after(board, "a7"))
    assert "b6" in moves_to(board, WIN)
    assert moves_to(placed("Kh1 Pa4 Pc4 kb6"), DRAW) == {"a5", "c5"}


@pytest.mark.parametrize("lone", ["a8", "a7", "b8", "b7"])
def test_two_pawns_on_one_edge_draw_against_a_king_in_or_near_the_corner(lone: str) -> None:
    for king in chess.SQUARES:
        if chess.square_name(king) not in {"a5", "a6", lone}:
            board = placed(f"K{chess.square_name(king)} Pa5 Pa6 k{lone}")
            assert not board.is_valid() or probe(board).result is Result.DRAW, board.fen()

"""What level 3 tells a class about the rook's box is true."""

from collections.abc import Iterator

import chess
import pytest

from coachbook.endgame.probe import probe
from coachbook.model.syllabus import Show
from tests.exercises import naive_methods
from tests.judges.box import region, walls
from tests.judges.moves import after_each, can_take, placed, spoils
from tests.syllabus.boards import (
    SYLLABUS,
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

SHOWN = [
    show for level in SYLLABUS.levels if level.number == 3 for unit in level.units for show in unit.shows
]
"""The lines that are shown in the units of the rook's box."""


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


def _students_moves(show: Show) -> Iterator[tuple[chess.Board, chess.Board]]:
    """The boards before and after each of White's moves in a line."""
    board = chess.Board(show.fen)
    for shown in show.line:
        then = after(board, shown.san)
        if board.turn:
            yield board, then
        board = then


def _stands_on_edge(board: chess.Board) -> bool:
    edge = chess.BB_RANK_1 | chess.BB_RANK_8 | chess.BB_FILE_A | chess.BB_FILE_H
    return bool(board.kings & board.occupied_co[chess.WHITE] & edge)


each_line = pytest.mark.parametrize("show", SHOWN, ids=lambda show: str(show.fen))


@each_line
def test_in_no_line_that_is_shown_of_the_rook_the_box_grows(show: Show) -> None:
    assert all(len(region(then)) <= len(region(before)) for before, then in _students_moves(show))


@each_line
def test_in_no_line_that_is_shown_the_king_steps_on_the_edge_where_it_need_not(show: Show) -> None:
    for before, then in _students_moves(show):
        if _stands_on_edge(then) and then.piece_type_at(then.peek().to_square) == chess.KING:
            others = [each for each in after_each(before) if not spoils(each)]
            assert all(map(_stands_on_edge, others)), then.peek()


@each_line
def test_in_each_line_that_is_shown_of_the_rook_at_most_one_wait_stands(show: Show) -> None:
    rules = [naive_methods.decide(before.fen())[0] for before, _ in _students_moves(show)]
    assert rules.count("wait with the rook") <= 1
    assert all(
        then.peek().uci() in naive_methods.decide(before.fen())[1] for before, then in _students_moves(show)
    )


def test_the_lesson_of_the_rooks_box_shows_one_wait() -> None:
    (show,) = SYLLABUS.unit("rook-box").shows
    rules = [naive_methods.decide(before.fen())[0] for before, _ in _students_moves(show)]
    assert rules.count("wait with the rook") == 1

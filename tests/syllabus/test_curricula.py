"""What the syllabus tells a class about its positions is true by the rules of `chess`."""

from collections.abc import Callable
from pathlib import Path

import chess
import pytest

from coachbook.model.syllabus import Unit
from coachbook.syllabus.read import read_syllabus

SYLLABUS = read_syllabus(Path(__file__).parents[2] / "curricula")
KINDS = {"box_size", "every_mate", "stalemate_moves"}
METHODS = {"two-majors", "queen-box", "rook-box"}

unit_by_unit = pytest.mark.parametrize("unit", SYLLABUS.units, ids=lambda unit: unit.code)


def board_of(code: str) -> chess.Board:
    return chess.Board(SYLLABUS.unit(code).demonstration)


def moves_that(board: chess.Board, ends: Callable[[chess.Board], bool]) -> set[str]:
    """The legal moves (SAN without signs) after which `ends` is true of the board."""
    found = set()
    for move in board.legal_moves:
        after = board.copy()
        after.push(move)
        if ends(after):
            found.add(board.san(move).rstrip("+#"))
    return found


def walls(board: chess.Board) -> set[str]:
    """Squares on the lone king's side of both the queen's or rook's rank and file."""
    (piece,) = board.pieces(chess.QUEEN, chess.WHITE) | board.pieces(chess.ROOK, chess.WHITE)
    king = board.king(chess.BLACK)
    assert king is not None

    def side(square: int) -> tuple[int, int]:
        over = chess.square_file(square) - chess.square_file(piece)
        up = chess.square_rank(square) - chess.square_rank(piece)
        return (over > 0) - (over < 0), (up > 0) - (up < 0)

    same = {square for square in chess.SQUARES if side(square) == side(king)}
    return {chess.square_name(square) for square in same if 0 not in side(square)}


def region(board: chess.Board) -> set[str]:
    """Squares that the lone king could walk to, one step after the other, if White stood still."""
    king = board.king(chess.BLACK)
    assert king is not None
    empty = board.copy()
    empty.remove_piece_at(king)
    reached, ahead = {king}, [king]
    while ahead:
        for square in chess.SquareSet(chess.BB_KING_ATTACKS[ahead.pop()]):
            if square not in reached and not empty.is_attacked_by(chess.WHITE, square):
                reached.add(square)
                ahead.append(square)
    return {chess.square_name(square) for square in reached}


def rectangle(corner: str, opposite: str) -> set[str]:
    return {f"{file}{rank}" for file in span(corner[0], opposite[0]) for rank in span(corner[1], opposite[1])}


def span(first: str, last: str) -> list[str]:
    return [chr(sign) for sign in range(ord(first), ord(last) + 1)]


def test_there_are_two_levels_with_two_units_each_in_teaching_order() -> None:
    codes = [[unit.code for unit in level.units] for level in SYLLABUS.levels]
    assert codes == [["two-majors", "stalemate-traps"], ["queen-box", "rook-box"]]


def test_each_unit_stands_after_all_that_it_builds_on() -> None:
    codes = [unit.code for unit in SYLLABUS.units]
    for number, unit in enumerate(SYLLABUS.units):
        assert set(unit.prerequisites) <= set(codes[:number])


@unit_by_unit
def test_a_unit_speaks_to_the_student_and_has_enough_to_say(unit: Unit) -> None:
    assert unit.aim.startswith("I can ")
    assert 3 <= len(unit.questions) <= 6
    assert len(unit.say) >= 5
    assert len(unit.slips) >= 3
    assert {use.kind for use in unit.kinds} <= KINDS
    assert unit.method in METHODS | {""}


@unit_by_unit
def test_every_position_is_legal_with_white_to_move(unit: Unit) -> None:
    for fen in (unit.demonstration, *(play_out.fen for play_out in unit.play_outs)):
        board = chess.Board(fen)
        assert board.is_valid()
        assert board.turn == chess.WHITE
        assert not board.is_check()
        assert any(board.legal_moves)


@unit_by_unit
def test_no_position_is_there_twice(unit: Unit) -> None:
    fens = [unit.demonstration, *(play_out.fen for play_out in unit.play_outs)]
    assert len(fens) == len(set(fens))


def test_two_majors_the_rook_on_a3_and_then_the_rook_on_h4_hold_a_whole_row_below_him() -> None:
    board = board_of("two-majors")
    assert all(board.is_attacked_by(chess.WHITE, square) for square in range(chess.B3, chess.H3 + 1))
    board.push_san("Rh4")
    assert all(board.is_attacked_by(chess.WHITE, square) for square in range(chess.A4, chess.G4 + 1))
    assert board.king(chess.BLACK) == chess.E5
    assert not board.is_check()


def test_stalemate_traps_one_queen_move_mates_and_two_stalemate() -> None:
    board = board_of("stalemate-traps")
    assert moves_that(board, chess.Board.is_checkmate) == {"Qf8"}
    assert moves_that(board, chess.Board.is_stalemate) == {"Qf7", "Qc4"}


def test_stalemate_traps_a_queen_on_b6_stalemates_him_on_a8() -> None:
    assert chess.Board("k7/8/1Q6/8/8/8/8/7K b - - 0 1").is_stalemate()


def test_queen_box_the_demonstration_box_has_sixteen_squares() -> None:
    assert walls(board_of("queen-box")) == rectangle("e5", "h8")


def test_queen_box_only_the_move_to_c5_makes_it_smaller_and_then_it_has_fifteen() -> None:
    def is_smaller_box(board: chess.Board) -> bool:
        taken = any(board.is_capture(move) for move in board.legal_moves)
        return 0 < len(walls(board)) < 16 and not taken and board.king(chess.WHITE) == chess.A1

    board = board_of("queen-box")
    assert moves_that(board, is_smaller_box) == {"Qc5"}
    board.push_san("Qc5")
    assert walls(board) == rectangle("d6", "h8")


def test_queen_box_he_walks_between_two_squares_on_the_edge_and_f2_is_stalemate() -> None:
    assert region(chess.Board("8/8/8/8/8/8/K3Q3/7k b - - 0 1")) == {"g1", "h1"}
    assert chess.Board("8/8/8/8/8/8/K4Q2/7k b - - 0 1").is_stalemate()


def test_rook_box_the_demonstration_box_has_sixteen_squares_and_no_safe_rook_move_shrinks_it() -> None:
    def is_smaller_region(board: chess.Board) -> bool:
        taken = any(board.is_capture(move) for move in board.legal_moves)
        return len(region(board)) < 16 and not taken

    board = board_of("rook-box")
    assert region(board) == rectangle("e5", "h8")
    shrinking = moves_that(board, is_smaller_region)
    assert not [move for move in shrinking if move.startswith("R")]
    assert "Kc4" in moves_that(board, lambda after: after.king(chess.WHITE) == chess.C4)
    board.push_san("Rd5")
    assert "Kxd5" in moves_that(board, lambda after: not after.pieces(chess.ROOK, chess.WHITE))


def test_rook_box_with_kings_on_a8_and_b6_the_rook_stalemates_on_b7_and_mates_on_the_eighth_rank() -> None:
    board = chess.Board("k7/7R/1K6/8/8/8/8/8 w - - 0 1")
    assert moves_that(board, chess.Board.is_stalemate) == {"Rb7"}
    assert moves_that(board, chess.Board.is_checkmate) == {"Rh8"}

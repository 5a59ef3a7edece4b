"""Looking at a board by the rules of `chess` alone: what a class can see and count on it."""

from collections.abc import Callable, Iterator
from pathlib import Path

import chess

from coachbook.syllabus import read_syllabus

SYLLABUS = read_syllabus(Path(__file__).parents[2] / "curricula")


def board_of(code: str) -> chess.Board:
    """The demonstration of a unit."""
    return chess.Board(SYLLABUS.unit(code).demonstration)


def placed(pieces: str, *, white_to_move: bool = True) -> chess.Board:
    """A board with men by name and square, such as "Kb6 Rh7 ka8" (Black in small letters)."""
    board = chess.Board(None)
    for man in pieces.split():
        board.set_piece_at(chess.parse_square(man[1:]), chess.Piece.from_symbol(man[0]))
    board.turn = white_to_move
    return board


def after(board: chess.Board, *sans: str) -> chess.Board:
    """A copy of the board with these moves made."""
    copy = board.copy()
    for san in sans:
        copy.push_san(san)
    return copy


def moves_that(board: chess.Board, ends: Callable[[chess.Board], bool]) -> set[str]:
    """The legal moves (SAN without signs) after which `ends` is true of the board."""
    return {board.san(move).rstrip("+#") for move in board.legal_moves if ends(after(board, board.san(move)))}


def mates(board: chess.Board) -> set[str]:
    return moves_that(board, chess.Board.is_checkmate)


def stalemates(board: chess.Board) -> set[str]:
    return moves_that(board, chess.Board.is_stalemate)


def can_take(board: chess.Board) -> bool:
    return any(board.is_capture(move) for move in board.legal_moves)


def king_squares(board: chess.Board) -> set[str]:
    """Where the king of the side to move may go."""
    king = board.king(board.turn)
    return {chess.square_name(move.to_square) for move in board.legal_moves if move.from_square == king}


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


def boxes(board: chess.Board) -> dict[str, int]:
    """The size of the box by walls after each move of the queen or rook that he can't answer by taking."""
    sizes = {}
    for move in board.legal_moves:
        then = after(board, board.san(move))
        if move.from_square != board.king(chess.WHITE) and not can_take(then) and walls(then):
            sizes[board.san(move).rstrip("+#")] = len(walls(then))
    return sizes


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


def steps(start: int, end: int) -> int:
    return chess.square_distance(start, end)


def lone_king_positions(piece: str) -> Iterator[chess.Board]:
    """All legal positions of White's king and one piece against a king to move, up to symmetry."""
    for lone in (
        chess.A1,
        chess.B1,
        chess.C1,
        chess.D1,
        chess.B2,
        chess.C2,
        chess.D2,
        chess.C3,
        chess.D3,
        chess.D4,
    ):
        for king in chess.SQUARES:
            for man in chess.SQUARES:
                if len({lone, king, man}) == 3 and steps(king, lone) > 1:
                    board = chess.Board(None)
                    board.set_piece_at(lone, chess.Piece.from_symbol("k"))
                    board.set_piece_at(king, chess.Piece.from_symbol("K"))
                    board.set_piece_at(man, chess.Piece.from_symbol(piece))
                    board.turn = chess.BLACK
                    yield board

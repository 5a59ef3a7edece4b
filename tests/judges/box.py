"""Boxes counted square by square, with the rules of the package `chess` alone.

White has the pieces, Black a lone king. Squares come by name.
"""

import chess

NO_BOX = 64


def walls(board: chess.Board) -> set[str]:
    """The squares on the lone king's side of both the rank and the file of the queen or rook."""
    piece = next(s for s, man in board.piece_map().items() if man.symbol() in "QR")
    lone = side(_lone(board), piece)
    return {chess.square_name(s) for s in chess.SQUARES if side(s, piece) == lone and 0 not in lone}


def fence(board: chess.Board) -> set[str]:
    """The queen's square, and what her rank and file have beside the box: found from the box's squares."""
    queen = chess.square_name(next(s for s, man in board.piece_map().items() if man.symbol() == "Q"))
    box = walls(board)
    return {queen} | {queen[0] + square[1] for square in box} | {square[0] + queen[1] for square in box}


def side(square: int, piece: int) -> tuple[int, int]:
    """On which side of the file, and of the rank, of a piece a square lies: -1, 1, or 0 for on it."""
    over = chess.square_file(square) - chess.square_file(piece)
    up = chess.square_rank(square) - chess.square_rank(piece)
    return (over > 0) - (over < 0), (up > 0) - (up < 0)


def region(board: chess.Board) -> set[str]:
    """Where the lone king can walk about if White stands still; his own square counts if it is not attacked.

    He takes nothing. Where he stands he shields no square from a queen or rook behind him.
    """
    start, alone = _lone(board), board.copy(stack=False)
    alone.remove_piece_at(start)
    free = {s for s in chess.SQUARES if not alone.piece_at(s) and not alone.is_attacked_by(chess.WHITE, s)}
    reached, waiting = {start}, [start]
    while waiting:
        here = waiting.pop()
        beside = {s for s in free - reached if chess.square_distance(s, here) == 1}
        reached |= beside
        waiting += beside
    return {chess.square_name(square) for square in reached & free}


def size(board: chess.Board) -> int:
    """The box as a sheet defines it: a queen's by walls, a rook's by where he can walk; or NO_BOX."""
    return (len(walls(board)) or NO_BOX) if board.queens else len(region(board))


def _lone(board: chess.Board) -> int:
    return next(square for square, man in board.piece_map().items() if man.symbol() == "k")

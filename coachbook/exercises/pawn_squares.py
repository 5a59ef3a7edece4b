"""The square of a pawn and its key squares: common practice, no source (the verifier proves them)."""

import chess


def square_of_pawn(pawn: chess.Square) -> tuple[chess.Square, ...]:
    """The square from the pawn to its last rank, on both wings, within the board.

    A pawn on its first square may go two steps: it is counted as on the next.
    """
    file, rank = chess.square_file(pawn), max(chess.square_rank(pawn), 2)
    side = 7 - rank
    files = range(max(0, file - side), min(7, file + side) + 1)
    return tuple(chess.square(f, r) for r in range(rank, 8) for f in files)


def key_squares(pawn: chess.Square) -> tuple[chess.Square, ...]:
    """Of a white pawn on ranks 2 to 6, in order from a1."""
    file, rank = chess.square_file(pawn), chess.square_rank(pawn)
    if file in (0, 7):
        return tuple(chess.square(1 if file == 0 else 6, r) for r in (6, 7))
    ranks = (rank + 2,) if rank < 4 else (rank + 1, rank + 2)
    return tuple(chess.square(f, r) for r in ranks for f in (file - 1, file, file + 1))

"""Light and dark squares, counted along the board from a1, which is dark."""

import chess

CORNERS = ("a1", "a8", "h1", "h8")


def colour(square: str) -> str:
    """ "dark" or "light": it changes with each square along a rank and with each rank."""
    return ("dark", "light")[chess.SQUARE_NAMES.index(square) % 8 + int(square[1]) - 1 & 1]


def corners_of(bishop: str) -> set[str]:
    """The corners of a bishop's colour."""
    return {corner for corner in CORNERS if colour(corner) == colour(bishop)}

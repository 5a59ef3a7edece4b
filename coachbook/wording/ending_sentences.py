"""What the tables say of a position, in words, and what the marks of a plan mean."""

from coachbook.wording.counting import capitalised


def side_in_words(*, white: bool) -> str:
    """White or Black."""
    return "White" if white else "Black"


def worth_in_words(white_wins: bool | None, moves: int | None) -> str:
    """What a position, or a move, comes to: "White mates in 3", or "draw" where nobody wins (None)."""
    return "draw" if white_wins is None else f"{side_in_words(white=white_wins)} mates in {moves}"


def over_in_words(*, white_to_move: bool, in_check: bool) -> str:
    """What is said where there is no move to play."""
    if in_check:
        return f"Checkmate: {side_in_words(white=not white_to_move)} has won."
    return "Stalemate: a draw."


def ending_in_words(material: str, *, white_to_move: bool) -> str:
    """Such as "King and queen against king, White to move"."""
    return f"{capitalised(material)}, {to_move_in_words(white=white_to_move)}"


def to_move_in_words(*, white: bool) -> str:
    """White to move, or Black."""
    return f"{side_in_words(white=white)} to move"


def marks_in_words(method: str, pieces: str, *, outlined: bool, shaded: bool) -> str:
    """What is marked on a board of a method's plan, with these pieces of the stronger side: what is outlined,
    and what is shaded, where anything is."""
    outline, shade = _MARKED.get(method) or (_PAWN if pieces == "P" else _FENCE)
    told = (f"Outlined: {outline}." if outlined else "", f"Shaded: {shade}." if shaded else "")
    return " ".join(filter(None, told))


_MARKED = {
    "queen-box": ("the queen's box", "the meeting square"),
    "rook-box": ("the rook's box", ""),
    "bridge": ("", "the file by which your rook keeps his king away"),
}
_PAWN = ("the square of the pawn", "its key squares")
_FENCE = ("", "the fence between the kings")

"""The methods in teaching order, by name: known without loading them."""

METHOD_FILES = (
    "two_majors",
    "queen_box",
    "rook_box",
    "king_and_pawn",
    "hold_king_and_pawn",
    "bridge",
)
"""Each defines its method under its own name in capitals, such as QUEEN_BOX."""


def method_names() -> tuple[str, ...]:
    """All names, such as "queen-box": those of the files, with hyphens."""
    return tuple(file.replace("_", "-") for file in METHOD_FILES)

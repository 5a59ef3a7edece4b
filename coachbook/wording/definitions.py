"""What the words of a task mean, as it is printed beside the tasks."""

from collections.abc import Mapping

from coachbook.model.worksheet import Fact

DEFINITIONS = {
    "queens_box": (
        "The queen's box: all squares on the lone king's side of the queen's file and rank. These lines"
        " don't count."
    ),
    "rooks_box": (
        "The rook's box: every square that the lone king could walk to, taking nothing, if White stood still."
    ),
    "two_squares": (
        "Two squares or more: count the lone king's own square, unless he is in check, and all that he could"
        " walk to, taking nothing, if White stood still."
    ),
    "safe_piece": (
        "Safe: the lone king can't take your piece with his next move, and he keeps two squares or more."
    ),
    "opposition": (
        "Opposition: one square between the kings on a file or a rank, and it is the other side's turn."
    ),
    "square_of_pawn": (
        "The square of the pawn: from the pawn to its last rank, and just as far to each side. On its first"
        " square, count it one step ahead."
    ),
    "key_squares": (
        "Key squares: with White's king on one of them and White to move, Black's king can't stop the pawn."
    ),
}
"""By code."""

_BOXES = {"queen": "queens_box", "rook": "rooks_box"}
_BOX = "box"
"""Stands for the box of the man of which the task is."""
_NEEDED = {
    "task_box_size": (_BOX,),
    "task_smallest_box": (_BOX, "safe_piece", "two_squares"),
    "task_shrink_or_king": (_BOX, "safe_piece", "two_squares"),
    "task_opposition": ("opposition",),
    "task_key_squares": ("key_squares",),
}


def definitions_for(task: str, facts: Mapping[str, Fact]) -> tuple[str, ...]:
    """The codes of the definitions that a task needs, in the order in which they are printed.

    `task` is the code of the task's sentence and `facts` what it states; () where each word is known.
    """
    box = _BOXES.get(str(facts.get("man")))
    found = (box if code == _BOX else code for code in _NEEDED.get(task, ()))
    return tuple(code for code in found if code is not None)

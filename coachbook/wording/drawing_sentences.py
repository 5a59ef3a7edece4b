"""What is said where squares are drawn or found: the pawn's square, the walls of a box, a double attack, and
the corners of a bishop."""

from coachbook.wording.counting import counted
from coachbook.wording.sentences import made, text

DRAWING_TASKS = {
    "task_draw_square": text(
        "Draw the square of the pawn on the lone king's side: shade its four corners.",
        man="pawn",
        asks="square_corners",
        pawn_at_home=False,
    ),
    "task_draw_square_from": text(
        "Draw the pawn's square on the lone king's side, from {counted_from}. Shade its four corners.",
        man="pawn",
        asks="square_corners",
        pawn_at_home=True,
    ),
    "task_box_walls": text(
        "Shade the walls: the {man}'s square, file and rank beside the lone king's box.", asks="box_walls"
    ),
    "task_fork_square": text(
        "Which queen's checks attack the rook too and win it next move? Mark each square.",
        side="white",
        man="queen",
        asks="fork_squares",
    ),
    "task_right_corner": text(
        "The right bishop can reach the corner ahead of the pawn. Is this one right?",
        man="bishop",
        asks="right_bishop",
        edge_pawn=True,
    ),
    "task_mating_corners": text(
        "White can force mate only in a corner that the bishop can reach. Mark both.",
        winner="white",
        man="bishop",
        asks="bishop_corners",
    ),
}
"""By code: what is asked for."""


def _as_far(counted_from: str, steps_to_go: int) -> str:
    steps = counted(steps_to_go, "step")
    return f"From {counted_from} it is {steps} up to the last rank, so {steps} to the side, too."


DRAWING_KEYS = {
    "as_far_to_the_side": made(_as_far, asks="square_corners"),
    "walls_hold": text(
        "He may step on none of them: his box is {files} by {ranks}.", asks="box_walls", in_check=False
    ),
    "rook_falls": text(
        "He must get out of check, and then White takes the rook for nothing.", asks="fork_squares"
    ),
    "right_bishop": text(
        "The corner {pawn_corner} is {corner_colour}, and so are the bishop's squares: White wins.",
        right_bishop=True,
        result="win",
    ),
    "wrong_bishop": text(
        "The corner {pawn_corner} is {corner_colour}, but the bishop's squares are not: here it is a draw.",
        right_bishop=False,
        result="draw",
    ),
    "corners_of_bishop": text(
        "The bishop moves on {bishop_colour} squares, and these two corners are {bishop_colour}.",
        asks="bishop_corners",
    ),
    "double_attack": text("the double attack", forks=True),
}
"""By code: what a key says, and why a move of a plan is made."""

DRAWING_WARNINGS = {
    "count_steps": text("Count the pawn's steps. Its own square is no step.", asks="square_corners"),
    "walls_end": text("A wall ends where the box ends. The {man}'s square is wall, too.", asks="box_walls"),
    "saves_rook": text(
        "Can he guard the rook, or put it in between? Can he take the queen?", asks="fork_squares"
    ),
    "corner_first": text("First the colour of the corner, then the bishop's.", asks="right_bishop"),
    "nearest_corner": text(
        "The nearest corner may be wrong: look at the bishop's colour.", asks="bishop_corners"
    ),
}
"""By code: what to watch for."""

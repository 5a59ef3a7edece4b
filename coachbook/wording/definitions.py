"""What the words of a task mean, as a sheet prints it: each definition is all that one needs to know.

Judges in `tests/exercises/literal_box.py` know nothing of a box but what stands here.
"""

from collections.abc import Mapping

from coachbook.model.worksheet import Fact

_TAKING_NOTHING = "walk to, taking nothing, if White stood still"

PICTURES = {
    "last_step": "the pawn on rank 7, guarded, and he cannot step in front of it.",
    "side_by_side": "king and pawn side by side on rank 6, the kings evenly apart.",
    "far_ahead": "king two ranks ahead or more, and he is no nearer to the pawn.",
    "ahead_of_a_far_pawn": "the pawn on rank 5 or more, the king one rank ahead of it.",
    "ahead_with_opposition": "king ahead of the pawn, kings evenly apart, he is not behind your king.",
    "shield": "king one rank ahead, and he is at most two ranks past the pawn.",
}
"""What the side with a pawn that is not on the edge is to see after its move, each in at most 15 words, by
the codes of `method.pawn_sights.PICTURES`. From C on the king is on the pawn's file or the next."""
PICTURE_LETTERS = dict(zip(PICTURES, "ABCDEF", strict=True))

DEFINITIONS = {
    "queens_box": (
        "The queen's box: all squares on the lone king's side of the queen's file and rank. These lines"
        " don't count. If he stands on one, there is no box."
    ),
    "rooks_box": (
        f"The rook's box: every square that the lone king could {_TAKING_NOTHING}. His own square counts,"
        " unless he is in check."
    ),
    "two_squares": (
        "Two squares or more: the lone king's own, unless he is in check, and all he could"
        f" {_TAKING_NOTHING}."
    ),
    "safe_piece": (
        "Safe: the lone king can't take your piece with his next move, and he keeps two squares or more."
    ),
    "step_nearer": (
        "Step nearer: a safe move of your king after which it needs fewer steps, straight or diagonal, to the"
        " lone king."
    ),
    "no_go": (
        "No-go square: your piece can move there, but then the lone king can take it, or it is stalemate."
    ),
    "opposition": (
        "Opposition: one square between the kings on a file or a rank, and it is the other side's turn."
    ),
    "guard_face_to_face": (
        "Guard facing him: your king right beside the rook, also diagonally, and one square between the kings"
        " on a file or a rank."
    ),
    "square_of_pawn": (
        "The square of the pawn: from the pawn to its last rank, and just as far towards the lone king's"
        " side. On its first square, count it one step ahead."
    ),
    "meeting_square": (
        "Meeting square: start in the corner of the board that is in the box and take two steps diagonally."
        " It is c3, c6, f3 or f6."
    ),
    "evenly_apart": (
        "Evenly apart: an even number of files and an even number of ranks from king to king (0, 2, 4 or 6),"
        " and it is his move."
    ),
    "key_squares": (
        "Key squares: the three squares two ranks ahead of the pawn; from its fifth rank on also"
        " the three right ahead of it."
    ),
    **{code: f"Picture {PICTURE_LETTERS[code]}: {words}" for code, words in PICTURES.items()},
    "pictures_close": "Pictures C to F: your king is on the pawn's file or on the next.",
    "edge_picture": ("Picture at the edge: your king on a key square, and he is no nearer to the pawn."),
    "hold_face_to_face": (
        "Face to face: both kings on one file, one, three or five squares between, the other side's turn."
        " Near the pawn: on its file or the next."
    ),
    "free_choice": (
        "If you can choose: fewest files and ranks to the second square in front, then near the pawn's file."
    ),
    "edge_key_squares": (
        "Key squares on the edge: two on the file next to the pawn's, beside its queening square and right"
        " below that. For an a-pawn: b8 and b7."
    ),
}
"""By code, each in at most 30 words."""

_BOXES = {"queen": "queens_box", "rook": "rooks_box"}
_OF_RULES = {"smaller_queen_box": "queens_box", "rook_shrinks_box": "rooks_box"}
_BOX = "box"
"""Stands for the box of the man, or the rule, of which the task is."""
_NEEDED = {
    "task_box_size": (_BOX,),
    "task_rooks_box": (_BOX,),
    "task_smallest_box": (_BOX, "safe_piece", "two_squares"),
    "task_shrink_or_step": (_BOX, "safe_piece", "two_squares", "step_nearer"),
    "task_finish_rule": (_BOX,),
    "task_waiting_move": ("rooks_box",),
    "task_no_go_squares": ("no_go",),
    "task_opposition": ("opposition",),
    "task_draw_square": ("square_of_pawn",),
    "task_draw_square_from": ("square_of_pawn",),
    "task_box_walls": ("queens_box",),
    "task_key_squares": ("key_squares",),
    "task_key_squares_on_edge": ("edge_key_squares",),
}


_OF_CARDS = {
    "queen-box": ("queens_box", "two_squares", "meeting_square"),
    "rook-box": ("rooks_box", "guard_face_to_face"),
    "two-majors": ("two_squares",),
    "king-and-pawn": (
        *("square_of_pawn", "key_squares", "edge_key_squares", "evenly_apart"),
        *(*PICTURES, "pictures_close", "edge_picture"),
    ),
    "hold-king-and-pawn": ("square_of_pawn", "hold_face_to_face", "free_choice"),
}
"""By the names of methods."""


def definitions_of_card(method: str) -> tuple[str, ...]:
    """The codes of the definitions that the rules on a method's card need."""
    return _OF_CARDS.get(method, ())


def definitions_for(task: str, facts: Mapping[str, Fact]) -> tuple[str, ...]:
    """The codes of the definitions that a task needs, in the order in which they are printed.

    `task` is the code of the task's sentence and `facts` what it states; () where each word is known.
    """
    box = _BOXES.get(str(facts.get("man"))) or _OF_RULES.get(str(facts.get("decides")))
    found = (box if code == _BOX else code for code in _NEEDED.get(task, ()))
    return tuple(code for code in found if code is not None)

"""What exercises say of squares that are drawn or found, of two pawns that run, of a man that is to be
placed, and of lines of moves, a rule's two halves and waiting moves."""

from coachbook.wording.counting import counted, listed, quoted
from coachbook.wording.method_words import card_words
from coachbook.wording.sentences import SIDES, made, text

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


RACE_TASKS = {
    "task_place_for_mate": text(
        "Put a white {man} on the board so that it is mate.", asks="placing_squares", placed_for="mate"
    ),
    "task_place_for_stalemate": text(
        "Put a white {man} on the board so that it is stalemate.",
        asks="placing_squares",
        placed_for="stalemate",
    ),
    "task_race_count": text(
        "Both sides only push. How many moves does each pawn need, and who queens first?", asks="pawn_race"
    ),
}


def _too_late(queens_first: str, queens_second: str, still_needs: int) -> str:
    left = counted(still_needs, "move")
    return f"{SIDES[queens_first]} queens first and wins: {SIDES[queens_second]}'s pawn still needs {left}."


_KEYS = {
    "placed_mates": text("With the {man} there he is in check and has no move.", placed_for="mate"),
    "placed_stalemates": text(
        "With the {man} there he is not in check and has no move: a draw.", placed_for="stalemate"
    ),
    "race_drawn": text(
        "{queens_first} queens first, and {queens_second} on the next move: a draw, if both sides play well.",
        still_needs=1,
        queens_with_check=False,
        result="draw",
    ),
    "race_won_with_check": text(
        "{queens_first} queens first, with check, and wins.", queens_with_check=True, first_wins=True
    ),
    "race_won": made(_too_late, first_wins=True),
}


def _ends_otherwise(other_end: str, ends_otherwise_on: tuple[str, ...]) -> str:
    return f"On {listed(ends_otherwise_on)} it would be {other_end}."


_WARNINGS = {
    "placed_otherwise": made(_ends_otherwise),
    "placed_guarded": text("A {man} next to him must be guarded, or he takes it.", asks="placing_squares"),
    "equal_counts": text("With equal counts the side to move queens first.", equal_counts=True),
    "double_step": text("A pawn on its first square goes two steps in one move.", double_step=True),
}

_REASONS = {"push": text("push", pawn_goes_on=True)}

RACE_SENTENCES = {**RACE_TASKS, **_KEYS, **_WARNINGS, **_REASONS}
"""By code: tasks, keys, warnings, and why a move of a plan is made."""


def race_words(race: str) -> str:
    """Such as "White 4, Black 3, Black first" for a race (see `Answer`)."""
    white, black, first = race.split()
    return f"White {white}, Black {black}, {SIDES[first]} first"


_HALVES: dict[str, tuple[str, str, tuple[str, str]]] = {
    "smaller_queen_box": (
        "Make the box smaller with the queen, but",
        "leave him at least two squares",
        ("leave him just one square", "give check as often as you can"),
    ),
    "king_to_meeting_square": (
        "Walk your king the shortest way to",
        "the meeting square",
        ("the middle of the board", "the nearest corner"),
    ),
    "other_queen_box": (
        "Move the queen anywhere that",
        "leaves him at least two squares",
        ("gives check from far away", "leaves him just one square"),
    ),
    "rook_shrinks_box": (
        "Make the smallest box, with",
        "the rook at most two steps from your king",
        ("a check from far away", "your king in the middle of the board"),
    ),
    "rook_keeps_box": (
        "Wait if two steps from him, off the edge:",
        "the rook moves, same box",
        ("the rook gives check", "the rook goes into the corner"),
    ),
    "king_to_rook": (
        "Bring your king nearer to the rook:",
        "keep the box, stay off the edge",
        ("let the box grow if you must", "walk along the edge"),
    ),
    "king_to_lone_king": (
        "Approach, as near the rook as he:",
        "keep the box, or guard facing him",
        ("give check as soon as you can", "stay in the middle of the board"),
    ),
    "rook_to_king": (
        "Bring the rook nearer to your king:",
        "keep the box if you can",
        ("give check if you can", "go into the nearest corner"),
    ),
}
"""By the code of a rule: how it begins, its end, and two ends that are not its own."""

_FORMER = {
    "smaller_rook_box": (
        "Make the smallest box, with",
        "your king as near to the rook as he is",
        ("a check from far away", "your king in the middle of the board"),
    ),
    "king_nearer": (
        "Bring your king nearer, but",
        "stay as near to the rook as he is",
        ("let the box grow if you must", "stay in the middle of the board"),
    ),
    "rook_waits": (
        "Wait: put the rook",
        "beside your king, and let the box not grow",
        ("beside his king, and give check", "in the corner, whatever the box does"),
    ),
    "king_steps": (
        "Move your king:",
        "as near the rook as he, or nearer",
        ("as near the corner as you can", "to the middle of the board"),
    ),
    "rook_home": (
        "Bring the rook",
        "as near to your king as you can",
        ("as far from his king as you can", "into the nearest corner"),
    ),
}
"""The same of rules that are no more: sheets that ask of them are printed again."""

_ALL = {**_HALVES, **_FORMER}

RULE_ENDS = {
    f"{rule}/{name}": (words,)
    for rule, (_, own, others) in _ALL.items()
    for name, words in zip(("end", "other-1", "other-2"), (own, *others), strict=True)
}
"""What stands beside the box to tick, by the code of a rule's end."""


def _to_finish(decides: str) -> str:
    start, _, _ = _ALL[decides]
    return f"How does the rule go on: {quoted(f'{start}…')}?"


LINE_TASKS = {
    "task_next_moves": text(
        "Play by the rules of the card. Write White's next three moves.",
        side="white",
        asks="method_line",
        form="line",
    ),
    "task_find_mistake": text(
        "One of White's moves throws the win away. Which one?",
        side="white",
        winner="white",
        asks="line_mistake",
    ),
    "task_finish_rule": made(_to_finish, side="white", asks="rule_ending"),
    "task_waiting_move": text(
        "Wait with the rook: he can't take it, and the box stays as it is.",
        side="white",
        man="rook",
        asks="waiting_moves",
    ),
}


def _thrown(thrown_at: int, thrown_by: str, better: str, *, only_better: bool) -> str:
    kept = (
        f"Only {better} keeps the win there." if only_better else f"{better}, for one, keeps the win there."
    )
    return f"After {thrown_at}. {thrown_by} it is a draw. {kept}"


def _waits(waiting: int, room_was: int) -> str:
    told = "One move waits" if waiting == 1 else f"{waiting} moves wait, and any one of them is right"
    return f"{told}. The box stays at {counted(room_was, 'square')}."


LINE_KEYS = {
    "one_move_each_time": text(
        "Each time the rules leave just this one move.", asks="method_line", form="line"
    ),
    "win_thrown": made(_thrown, asks="line_mistake"),
    "whole_rule": made(lambda decides: card_words(decides), asks="rule_ending"),
    "waits": made(_waits, asks="waiting_moves"),
    "still_wins": text("still wins", winner="white", keeps=True),
    "instead_of": text("instead of {thrown_by}", keeps=True),
}

_TEMPTATIONS = {
    "check": "A check looks strong. Ask first where he will go.",
    "push": "A push can't be taken back. Look at the two kings first.",
    "step": "A king's step looks harmless. Ask who then has to give way.",
}

LINE_WARNINGS = {
    "again_from_the_top": text("Begin at the top of the rules for every move.", asks="method_line"),
    "mistake_tempts": made(lambda tempts_by: _TEMPTATIONS[tempts_by], asks="line_mistake"),
    "say_the_rule": text("Say the whole rule, then play the move that it means.", asks="rule_ending"),
    "count_the_box": text(
        "Count the box before and after. Beside him the rook needs a guard.", asks="waiting_moves"
    ),
}

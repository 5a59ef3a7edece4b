"""What is said where a line of moves, a rule's two halves or a waiting move is asked for.

The halves of a rule are cut out of its words on the card; beside the end that is its own stand two that
are on no card, in the same order for each rule.
"""

from coachbook.wording.counting import counted, quoted
from coachbook.wording.method_words import card_words
from coachbook.wording.sentences import made, text

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

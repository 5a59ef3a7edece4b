"""What exercises say of two pawns that run, and of a man that is to be placed."""

from coachbook.wording.counting import counted, listed
from coachbook.wording.sentences import SIDES, made, text

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

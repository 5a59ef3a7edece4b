"""What is said of a move that the class calls out."""

from collections.abc import Sequence

from coachbook.model.syllabus import Goal
from coachbook.wording.counting import capitalised


def call_for_a_move(*, white: bool) -> str:
    """The question to the class."""
    return f"What would you play for {'White' if white else 'Black'}?"


def claims_told(claims: Sequence[str]) -> str:
    """What a move does, such as "The box goes from 16 squares to 9; he has two squares to go to."; "" if
    there is nothing to say."""
    return f"{capitalised('; '.join(claims))}." if claims else ""


def lessons_move() -> str:
    """Of the move that the lesson plays, too."""
    return "This is the lesson's move."


def allowed_by_rule(goal: Goal) -> str:
    """Of another move that the method could have chosen."""
    return f"The rule allows it, too: it keeps {_kept(goal)}."


def off_the_rule(goal: Goal, rule: str) -> str:
    """Of a move that is good enough, while the rule says another."""
    return f"It keeps {_kept(goal)}, but think of the rule “{rule}”."


def good_enough(goal: Goal) -> str:
    """Of a move where no rule decides."""
    return f"It keeps {_kept(goal)}. The lesson plays another move."


def thrown_away(goal: Goal, slip: str) -> str:
    """Of a move after which the goal can't be reached; `slip` says what goes wrong."""
    kept = _kept(goal)
    return f"{kept[0].upper()}{kept[1:]} is gone. {slip}"


def _kept(goal: Goal) -> str:
    return "the win" if goal is Goal.WIN else "the draw"

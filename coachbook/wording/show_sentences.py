"""The claims in the sentences of a demonstration, in words, and what is said of a move that the class calls
out."""

from collections.abc import Callable, Sequence

from coachbook.model.position import Position, square_name
from coachbook.model.shown_claims import ShownClaim, parts_of, read_claim
from coachbook.model.syllabus import Goal
from coachbook.wording.counting import capitalised, counted, listed, number_word, plural


def shown_words(words: str) -> str:
    """A sentence of a demonstration with its claims in words; one that is not known stays as it is.

    A claim that begins a sentence has a capital, but not the name of a pawn's move.
    """
    made = ""
    for part, is_claim in parts_of(words):
        claim = read_claim(part) if is_claim else None
        told = claim_in_words(claim) if claim else part
        begins = is_claim and made.rstrip()[-1:] in ("", ".", "!", "?") and not told[1:2].isdigit()
        made += f"{told[:1].upper()}{told[1:]}" if begins else told
    return made


def show_task(fen: str, goal: Goal) -> str:
    """Who moves, and what the student is to reach, such as "White moves first, and is to win."."""
    side = "White" if Position(fen).white_to_move else "Black"
    return f"{side} moves first, and is to {'win' if goal is Goal.WIN else 'hold the draw'}."


def set_up(position: Position) -> str:
    """Where the men stand, to be read out and set up, such as "White: king a1, queen d4. Black: king e6."."""
    return " ".join(
        f"{side}: {', '.join(_placed(position, white=side == 'White'))}." for side in ("White", "Black")
    )


_MEN = {"k": "king", "q": "queen", "r": "rook", "b": "bishop", "n": "knight", "p": "pawn"}


def _placed(position: Position, *, white: bool) -> list[str]:
    men = [(letter, square) for square, letter in position.pieces.items() if letter.isupper() == white]
    ranked = sorted(men, key=lambda man: ("kqrbnp".index(man[0].lower()), man[1]))
    return [f"{_MEN[letter.lower()]} {square_name(square)}" for letter, square in ranked]


def claim_in_words(claim: ShownClaim) -> str:
    """The claim as part of a sentence, such as "the box goes from 16 squares to 9"."""
    return _WORDS[claim.form](*claim.given)


def _box(before: str, after: str) -> str:
    if before == after:
        return f"the box keeps its {counted(int(after), 'square')}"
    return f"the box goes from {counted(int(before), 'square')} to {after}"


def _squares(number: str) -> str:
    if number == "0":
        return "he has no square to go to"
    return f"he has {number_word(int(number))} {plural(int(number), 'square')} to go to"


def _guards(man: str, squares: str) -> str:
    return f"the {man} guards {listed(tuple(squares.split()))}"


_WORDS: dict[str, Callable[..., str]] = {
    "box N to N": _box,
    "box N": lambda number: f"the box has {counted(int(number), 'square')}",
    "squares N": _squares,
    "mate": lambda: "it is mate",
    "stalemate": lambda: "it is stalemate",
    "draw": lambda: "it is a draw",
    "too few men": lambda: "nobody has men enough to mate: it is a draw",
    "mate in N": lambda number: f"mate comes in {counted(int(number), 'more move')} at most",
    "new queen": lambda: "the new queen can't be taken",
    "man won": lambda: "only the other king is left, and you know how to win this",
    "corner": lambda: "he is in the corner",
    "opposition": lambda: "the kings face each other, and he has to give way",
    "key square": lambda: "the king stands on a key square",
    "inside the square": lambda: "he is inside the square",
    "outside the square": lambda: "he is outside the square",
    "only move": lambda: "no other move does it",
    "mate if MOVE": lambda move: f"{move} would be mate",
    "stalemate if MOVE": lambda move: f"{move} would be stalemate",
    "draw if MOVE": lambda move: f"{move} would only draw",
    "loss if MOVE": lambda move: f"{move} would lose",
    "MAN lost if MOVE": lambda man, move: f"after {move} he takes the {man}",
    "MAN guards SQUARES": _guards,
    "MAN attacks MAN": lambda one, other: f"the {one} attacks the {other}",
}


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

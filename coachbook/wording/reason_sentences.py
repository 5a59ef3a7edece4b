"""What tasks and keys of pawn endings say: the key squares of a pawn, and why a position is won or drawn."""

from coachbook.wording.counting import counted
from coachbook.wording.sentences import MEN, SIDES, made, text

_FORCED = {
    "mate": "{side} gives mate",
    "last_man": "{side} takes {other}'s last man",
    "queen": "{side} gets a queen that can't be taken",
    "key_square": "{side}'s king gets to a key square of the pawn",
    "blocked": "{other}'s king has to step in front of its pawn, or {other} loses the pawn",
    "bare": "{other} has nothing left that can mate",
    "in_front": "{side}'s king gets right in front of the pawn",
    "in_front_or_faces": "{side}'s king gets right in front of the pawn, or face to face with {other}'s king",
    "corner": "{side}'s king gets into the corner where the pawn would queen",
    "wrong_bishop": (
        "{side}'s king gets into the corner where the pawn would queen, which the bishop never guards"
    ),
    "over": "it is stalemate, or {other} has nothing left that can mate",
    "escort": (
        "{side}'s king stands next to its pawn, and {other}'s king is farther from the queening square than"
        " the pawn"
    ),
    "pawn_costs": "{side} gets a queen that can't be taken, or {other} has nothing left that can mate",
}
"""What a side can force, after it is said in how many moves."""


_STANDS = {
    "corner": "in the corner where the pawn would queen",
    "wrong_bishop": "in the corner where the pawn would queen, and the bishop never guards this corner",
}
"""Where a king is already that draws."""


def _forced(forced: tuple[str, ...]) -> str:
    """Such as "Within 2 moves Black's king gets right in front of the pawn, whatever White does."."""
    side, goal, moves = forced
    if moves == "0":
        return f"{SIDES[side]}'s king stands {_STANDS[goal]}."
    other = {"white": "black", "black": "white"}[side]
    if goal == "cut_off":
        return (
            f"{SIDES[side]}'s rook can go to a rank between {SIDES[other]}'s king and its pawn, and the king"
            " can't cross it."
        )
    told = _FORCED[goal].format(side=SIDES[side], other=SIDES[other])
    return f"Within {counted(int(moves), 'move')} {told}, whatever {SIDES[other]} does."


def _won_by_force(forced: tuple[str, ...], mates_in: int | None = None) -> str:
    if forced[1] == "mate":
        return _forced(forced)
    return f"{_forced(forced)} {white_mates(mates_in)}"


def white_mates(mates_in: int | None = None) -> str:
    """That White wins, and how soon, if that is to be said."""
    return f"White mates in {counted(mates_in, 'move')} at most." if mates_in else "White wins."


def others_fail(others: int, result: str) -> str:
    """What is said of all moves but the only one that keeps a win or a draw, two others at least."""
    fate = "throw the win away" if result == "win" else "lose"
    return f"Both other moves {fate}." if others == 2 else f"All {others} other moves {fate}."


def _others_fail(others: int, result: str, forced: tuple[str, ...]) -> str:
    return f"{others_fail(others, result)} {_forced(forced)}"


def _where_rook_belongs(side: str, result: str) -> str:
    verb = {"win": "win", "draw": "draw"}[result]
    return f"Only the rook can {verb} for {SIDES[side]}. On which rank or file does it belong?"


def _rook_belongs(rook_line: str, spoiling: int, result: str, forced: tuple[str, ...] | None = None) -> str:
    told = f"The rook belongs on {line_in_words(rook_line)}. {others_fail(spoiling, result)}"
    return f"{told} {_forced(forced)}" if forced else told


def line_in_words(line: str) -> str:
    """Such as "rank 6" and "the a-file"."""
    kind, _, name = line.partition("_")
    return f"rank {name}" if kind == "rank" else f"the {name}-file"


_MET = {
    "mate": "mates",
    "takes": "takes the {man}",
    "becomes": "makes a {man}",
    "faces": "takes the opposition",
    "in_the_way": "stands in the pawn's way",
    "goes_for_pawn": "goes for the pawn",
    "gives_check": "gives check",
    "guards_pawn": "guards the pawn",
    "pawn_goes_on": "pushes the pawn",
}
"""What a reply to a wrong move does."""


def _lure(lure: tuple[str, ...]) -> str:
    """A tempting wrong move and what it allows, such as "Kd6? Kd8 takes the opposition: a draw."."""
    wrong, reply, does, winner = lure
    if not reply:
        told = {"stalemate": "is stalemate", "bare": "leaves nobody enough to mate"}[does]
        return f"Not {wrong}: it {told}."
    then = "it is a draw" if winner == "draw" else f"{SIDES[winner]} wins"
    if does == "stalemate":
        return f"Not {wrong}: {reply} is stalemate."
    if not does:
        return f"Not {wrong}: after {reply} {then}."
    name, _, man = does.partition(" ")
    return f"Not {wrong}: {reply} {_MET[name].format(man=MEN.get(man, man))}, and {then}."


REASON_TASKS = {
    "task_key_squares_on_edge": text(
        "Shade the two key squares of the pawn on the edge.",
        man="pawn",
        asks="key_squares",
        edge_pawn=True,
    ),
    "task_rook_place": made(_where_rook_belongs, asks="rook_place"),
}

REASON_KEYS = {
    "key_squares_two_ahead": text(
        "Three squares side by side, two ranks ahead of the pawn. With White's king on one of them the pawn"
        " gets through, unless Black takes it at once.",
        edge_pawn=False,
        from_fifth=False,
    ),
    "key_squares_from_fifth": text(
        "From its fifth rank on a pawn has six: three side by side two ranks ahead, and the three right ahead"
        " of it. With White's king on one of them the pawn gets through, unless Black takes it at once or is"
        " stalemated.",
        edge_pawn=False,
        from_fifth=True,
    ),
    "key_squares_of_edge_pawn": text(
        "A pawn on the edge has two: on the next file, beside its queening square and right below that. With"
        " White's king on one of them, Black's king can't get into the corner.",
        edge_pawn=True,
    ),
    "won_by_force": made(_won_by_force, winner="white"),
    "drawn_by_force": made(
        lambda forced: f"{_forced(forced)} A draw, if both sides play well.", result="draw"
    ),
    "others_fail_by_force": made(_others_fail),
    "rook_belongs": made(_rook_belongs, asks="rook_place"),
}

REASON_WARNINGS = {"lure": made(_lure)}


def _into_square(*, inside: bool) -> str:
    return "stay in the square" if inside else "step into the square"


REASON_RULES = {"into_square": made(_into_square, into_square=True)}

ROOK_LINES = {
    **{f"rank_{rank}": (f"rank {rank}", f"rank{rank}") for rank in range(1, 9)},
    **{f"file_{file}": (f"{file}-file", f"{file} file", f"file {file}", file) for file in "abcdefgh"},
}
"""Ranks and files to choose from: what stands beside the box to tick, and other words for it."""

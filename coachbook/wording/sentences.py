"""How a sentence is made of what it states, and those of written plans: why a move is made, what it does;
and what the tables say of a position."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from inspect import Parameter, signature
from string import Formatter
from typing import Any

from coachbook.model.worksheet import Fact
from coachbook.wording.counting import capitalised, counted, listed
from coachbook.wording.definitions import PICTURE_LETTERS
from coachbook.wording.method_words import rule_name, stage_name, title_of


@dataclass(frozen=True, slots=True)
class Sentence:
    """How a sentence is made of facts: those that it `needs`, those that it `may` have besides, and those
    that it `implies`, which hold whenever it is said."""

    words: Callable[..., str]
    needs: frozenset[str]
    may: frozenset[str]
    implies: Mapping[str, Fact]


SIDES = {"white": "White", "black": "Black"}
MEN = {man: man for man in ("queen", "rook", "bishop", "knight", "pawn", "king")}
_NAMES = {**SIDES, **MEN}


def in_words(fact: Fact) -> str:
    """A side or a man by name, a list, or else the number or name that it is."""
    return listed(fact) if isinstance(fact, tuple) else _NAMES.get(str(fact), str(fact))


def text(template: str, **implies: Fact) -> Sentence:
    """A sentence in which each fact stands under its name."""
    needs = frozenset(name for _, name, _, _ in Formatter().parse(template) if name)

    def words(**facts: Fact) -> str:
        if facts.keys() != needs:
            raise TypeError(f"'{template}' is made of {sorted(needs)}, not of {sorted(facts)}")
        return template.format(**{name: in_words(fact) for name, fact in facts.items()})

    return Sentence(words, needs, frozenset(), implies)


def made(words: Callable[..., str], **implies: Fact) -> Sentence:
    """A sentence that a function makes: what it must be given are the facts that it needs."""
    given = signature(words).parameters.values()
    needs = frozenset(each.name for each in given if each.default is Parameter.empty)
    return Sentence(words, needs, frozenset(each.name for each in given) - needs, implies)


_REASONS = {
    "rule": made(lambda rule: rule_name(rule)),
    "stage": made(lambda number, stage: f"stage {number}: {stage_name(stage)}"),
    "mate_if_you_can": text("Mate if you can", mate=True),
    "bad_moves_only": text("Leave him only bad moves", asks="fastest_mates"),
    "instead": text("Play this instead", asks="all_stalemates"),
    "opposition": text("take the opposition", faces=True),
    "good_move": text("a good move", keeps=True),
    "longest_defence": text("the longest defence", best=True, result="loss"),
    "begins_it": text("so it begins", result="win"),
    "quickest_win": text("the quickest win", best=True, result="win"),
    "only_move": text("the only move", only_move=True),
    "no_win": text("no move wins", result="draw"),
    "all_draw": text("every move draws", result="draw", all_draw=True),
    "one_draws": text("the only move that draws", result="draw", only_move=True),
    "some_draw": text("one of {drawing} moves that draw", result="draw"),
}


def _explained(checkers: tuple[str, ...], guarded: tuple[str, ...]) -> str:
    men = " and the ".join(MEN[man] for man in checkers)
    told = f"Check from the {men}, and he has no square left."
    return f"{told} White's king guards {listed(guarded)}." if guarded else told


def _replies(reply: str, replies: int) -> str:
    return f"{reply} is {'his only reply' if replies == 1 else f'one of his {replies} replies'}"


_PURPOSES: dict[str, Callable[[Any], str]] = {
    "mate": lambda _: "it is mate",
    "stalemate": lambda _: "it is stalemate",
    "takes": lambda man: f"takes the {MEN[man]}",
    "becomes": lambda man: f"the pawn becomes a {MEN[man]}",
    "faces": lambda _: "the kings face each other",
    "in_the_way": lambda _: "the king stands in the pawn's way",
    "goes_for_pawn": lambda _: "the king goes for the pawn",
    "guards_pawn": lambda _: "the king guards the pawn",
    "gives_check": lambda _: "gives check",
    "pawn_goes_on": lambda _: "the pawn goes on",
}


def _does(**facts: Fact) -> str:
    """What a move is for, and what comes of it."""
    told = [words(facts[name]) for name, words in _PURPOSES.items() if name in facts]
    if facts.get("result") == "draw":
        told.append("it is a draw")
    if "winner" in facts and "mates_in" in facts:
        told.append(f"{in_words(facts['winner'])} mates in {facts['mates_in']}")
    elif "winner" in facts:
        told.append(f"{in_words(facts['winner'])} wins")
    return ", ".join(told)


def _at_most(left: int) -> str:
    return (
        "goal reached" if left == 0 else f"at most {counted(left, 'more move', 'more moves')} in this stage"
    )


def _walls(walls_now: int, walls_was: int = 0, *, two_left: bool = False) -> str:
    box = f"box {walls_was} → {walls_now}" if walls_was else f"box {walls_now}"
    return f"{box}, two squares left" if two_left else box


def _region(room_was: int, room_now: int, *, gives_check: bool = False) -> str:
    box = f"box stays {room_now}" if room_was == room_now else f"box {room_was} → {room_now}"
    return f"{box}, check" if gives_check else box


def _meeting(steps_to_meeting: int) -> str:
    if steps_to_meeting == 0:
        return "king at the meeting square"
    return f"king {steps_to_meeting} from the meeting square"


def _apart(kings_apart: int, *, faces: bool = False) -> str:
    return "kings face to face" if faces else f"kings {kings_apart} steps apart"


def _rows(rows_was: int = 0, rows_now: int = 0, *, gives_check: bool = False) -> str:
    """Of ranks or files behind a fence; 0 where there is none."""
    left = "one rank or file left" if rows_now == 1 else f"{rows_now} ranks or files left"
    if not rows_now:
        told = "no fence yet"
    elif not rows_was:
        told = f"a fence: {left}"
    else:
        told = f"still {left}" if rows_was == rows_now else f"he had {rows_was}: now {left}"
    return f"{told}, check" if gives_check else told


def _to_last_rank(pawn_steps: int) -> str:
    return f"{pawn_steps} more to the last rank"


def _key_square(steps_to_key_square: int) -> str:
    if steps_to_key_square == 0:
        return "king on a key square"
    return f"king {steps_to_key_square} from a key square"


def _front(steps_to_front: int, *, face_to_face: bool = False) -> str:
    if steps_to_front == 0:
        return "right in front of the pawn"
    if face_to_face:
        return "face to face with the king"
    return f"{steps_to_front} from the square in front of the pawn"


_PICTURES = {
    "last_step": "the last step is safe",
    "side_by_side": "side by side",
    "far_ahead": "the king is far ahead",
    "ahead_of_a_far_pawn": "the king is ahead of a far pawn",
    "ahead_with_opposition": "the king is ahead, the kings evenly apart",
    "shield": "the king shields the pawn",
}

_ENDS = {
    "stalemate": "stalemate: a draw",
    "bare": "nobody can mate any more: a draw",
    "again": "the same position comes back: a draw",
}
"""How a line ends in which a draw is held."""


def _with_end(sentence: Sentence) -> Sentence:
    """The same, but that it may be told, too, how the line ends with it: in one of these ways, or `on`."""

    def words(end: str = "", **facts: Fact) -> str:
        # "it is stalemate; then stalemate: a draw" would say it twice.
        told = sentence.words(
            **{name: fact for name, fact in facts.items() if not end or name != "stalemate"}
        )
        ended = f"then {_ENDS[end]}" if end in _ENDS else "and so on" if end else ""
        return "; ".join(part for part in (told, ended) if part)

    return Sentence(words, sentence.needs, sentence.may | {"end"}, sentence.implies)


_ACHIEVED = {
    "explained_mate": made(_explained, mate=True, side="white"),
    "it_is_mate": text("It is mate.", mate=True),
    "mates_in_moves": text("{winner} mates in {mates_in} moves."),
    "a_reply": made(_replies),
    "must_give_way": text("he must give way", faces=True, result="win"),
    "stays_a_draw": text("it stays a draw", faces=True, result="draw"),
    "does": _with_end(
        Sentence(_does, frozenset(), frozenset((*_PURPOSES, "result", "winner", "mates_in")), {})
    ),
    "mate": text("mate", mate=True),
    "goal_in": made(_at_most),
    "box_by_walls": made(_walls),
    "box_by_room": made(_region),
    "meeting_square": made(_meeting),
    "kings_apart": made(_apart),
    "rows": made(_rows),
    "runs": text("he cannot catch it", runs=True),
    "picture": made(lambda picture: f"picture {PICTURE_LETTERS[picture]}, {_PICTURES[picture]}"),
    "to_last_rank": made(_to_last_rank),
    "key_square": made(_key_square),
    "front": _with_end(made(_front)),
    "safe_queen": text("a safe queen", safe_queen=True),
    "queen_or_rook": text("a safe queen, or a rook more", queen_or_rook=True),
    "bridge_stands": text("the rook steps in between: the bridge stands", bridge="stands"),
    "sheltered": text("the rook shields the king", bridge="shields"),
    "ready": text("the pawn can queen next", bridge="ready"),
    "on_the_way": text("on the way", bridge="begun"),
    "pawn_taken": text("the pawn is taken", takes="pawn"),
    "stalemate": text("stalemate", stalemate=True),
}

_LINE = "one computed line"


def _proven(method: str, goal: str, at_most: int) -> str:
    reached = {"mate": "mate", "queen": "a safe queen", "queen_or_rook": "a safe queen or a rook more"}[goal]
    proven = f"proven from here against every defence: {reached} in at most {counted(at_most, 'move')}"
    return f"{title_of(method)}, {proven}; one line of it is shown"


def _proven_draw(method: str) -> str:
    return f"{title_of(method)}, proven from here against every try; one line of it is shown"


_SOURCES = {
    "by_rules_of_chess": text("checked by the rules of chess"),
    "computed": text("computed line"),
    "by_method": made(title_of),
    "proven": made(_proven),
    "proven_draw": made(_proven_draw),
    "in_stages": text(f"{_LINE}, in stages each of which can be forced; other defences are possible"),
    "best_play": text(f"{_LINE}, the quickest mate and the longest defence; other defences are possible"),
    "keeps_draw": text(f"{_LINE} in which each move keeps the draw; other moves are possible"),
}

PLAN_SENTENCES = {**_REASONS, **_ACHIEVED, **_SOURCES}
"""By code: reasons, what is achieved, and sources."""


def side_in_words(*, white: bool) -> str:
    """White or Black."""
    return "White" if white else "Black"


def worth_in_words(white_wins: bool | None, moves: int | None) -> str:
    """What a position, or a move, comes to: "White mates in 3", or "draw" where nobody wins (None)."""
    return "draw" if white_wins is None else f"{side_in_words(white=white_wins)} mates in {moves}"


def over_in_words(*, white_to_move: bool, in_check: bool) -> str:
    """What is said where there is no move to play."""
    if in_check:
        return f"Checkmate: {side_in_words(white=not white_to_move)} has won."
    return "Stalemate: a draw."


def ending_in_words(material: str, *, white_to_move: bool) -> str:
    """Such as "King and queen against king, White to move"."""
    return f"{capitalised(material)}, {to_move_in_words(white=white_to_move)}"


def to_move_in_words(*, white: bool) -> str:
    """White to move, or Black."""
    return f"{side_in_words(white=white)} to move"


def marks_in_words(method: str, pieces: str, *, outlined: bool, shaded: bool) -> str:
    """What is marked on a board of a method's plan, with these pieces of the stronger side: what is outlined,
    and what is shaded, where anything is."""
    outline, shade = _MARKED.get(method) or (_PAWN if pieces == "P" else _FENCE)
    told = (f"Outlined: {outline}." if outlined else "", f"Shaded: {shade}." if shaded else "")
    return " ".join(filter(None, told))


_MARKED = {
    "queen-box": ("the queen's box", "the meeting square"),
    "rook-box": ("the rook's box", ""),
    "bridge": ("", "the file by which your rook keeps his king away"),
}
_PAWN = ("the square of the pawn", "its key squares")
_FENCE = ("", "the fence between the kings")

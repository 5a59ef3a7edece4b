"""How a play-out ended, told in a word or two: "mated in 14", "stalemate", "gave up"."""

import re
from collections import Counter
from dataclasses import dataclass

import chess

from coachbook.errors import CoachbookError
from coachbook.model.club import PlayOutEnd
from coachbook.model.syllabus import Goal

MOST_MOVES = 999
ENDS = "mated in 14, stalemate, draw, lost, gave up, stopped"
"""How it may be told, for who is at a loss for words."""

_WORDS_AND_COUNT = r"(?P<words>.*?)(?: (?:in|after|for|on|at))?(?: move)?(?: ?(?P<used>%s)(?: moves?)?)?"
_COUNTED = re.compile(_WORDS_AND_COUNT % "[1-9][0-9]{0,2}")
_MISCOUNTED = re.compile(_WORDS_AND_COUNT % "-?[0-9]{1,20}")
_UNCOUNTED = re.compile(r"(?: moves)? not counted$")
_LOST_A_MAN = re.compile(r"lost (?:(?:the|his|her|a) )?(?P<man>queen|rook|bishop|knight|pawn|piece)")
_SAID = {
    PlayOutEnd.MATE: ("won", "win", "wins"),
    PlayOutEnd.LOST: ("lost", "loses", "was mated", "got mated", "was checkmated", "got checkmated"),
    PlayOutEnd.STALEMATE: ("stalemate", "stalemated", "stalemates", "stale mate"),
    PlayOutEnd.GAVE_UP: ("gave up", "gives up", "given up", "resigned", "resigns"),
    PlayOutEnd.UNFINISHED: (
        "not finished",
        "unfinished",
        "did not finish",
        "didn't finish",
        "stopped",
        "out of time",
        "ran out of time",
        "time up",
        "time was up",
        "no time left",
    ),
}
_MATED = ("mate", "mated", "mates", "checkmate", "checkmated", "checkmates")
_DRAWN = ("draw", "drawn", "drew", "repetition", "draw by repetition", "fifty moves", "50-move rule")
_HELD = ("held", "holds", "held it", "held on", "held the draw", "held a draw")
_WORDS = {words: end for end, all_words in _SAID.items() for words in all_words}
# What means one thing for who is to win and another for who is to hold a draw.
_WORDS_TO_WIN = (
    _WORDS | dict.fromkeys(("", *_MATED), PlayOutEnd.MATE) | dict.fromkeys(_DRAWN + _HELD, PlayOutEnd.DRAW)
)
_WORDS_TO_DRAW = (
    _WORDS | dict.fromkeys(_MATED, PlayOutEnd.LOST) | dict.fromkeys(("", *_DRAWN, *_HELD), PlayOutEnd.HELD)
)


@dataclass(frozen=True, slots=True)
class Told:
    """How a play-out ended, and in how many of the student's moves, None where nobody counted."""

    end: PlayOutEnd
    used: int | None = None


def read_told(text: str, goal: Goal) -> Told | None:
    """What a coach says of the end of a play-out, whatever the case; None for anything else.

    That nobody counted may be said, too ("mated, not counted").

    A number alone is that of the moves in which the goal was reached. Who was to hold a draw and
    is said to have "mated" was mated; to say that he won, write "won". To lose a man is a draw
    for who was to win.
    """
    tidy = _tidy(text)
    match = _COUNTED.fullmatch(_UNCOUNTED.sub("", tidy))
    if match is None or not tidy:
        return None
    end = _end(match["words"], goal)
    return None if end is None else Told(end, int(match["used"]) if match["used"] else None)


def check_count(text: str, goal: Goal) -> None:
    """Raises CoachbookError if the words tell an end, but no play-out has so many moves ("mated in 0")."""
    match = _MISCOUNTED.fullmatch(_tidy(text))
    if match is None or not match["used"] or _end(match["words"], goal) is None:
        return
    if match["used"] not in map(str, range(1, MOST_MOVES + 1)):
        raise CoachbookError(
            f"A play-out of {match['used']} moves cannot be.",
            f"Give the student's moves, 1 to {MOST_MOVES}, such as 'mated in 14', or leave the number out.",
        )


def lacks_count(text: str, goal: Goal) -> bool:
    """Whether the words tell a mate in a play-out that was to be won, and neither in how many moves nor
    that nobody counted: it could not count as within the allowance, whatever it was."""
    is_uncounted_mate = read_told(text, goal) == Told(PlayOutEnd.MATE)
    return goal is Goal.WIN and is_uncounted_mate and _UNCOUNTED.search(_tidy(text)) is None


def check_told(text: str, board: chess.Board, goal: Goal) -> None:
    """Raises CoachbookError if the words tell an end that lacks its moves, or that a man was lost which
    the student, who has the side to move, never had."""
    if lacks_count(text, goal):
        raise CoachbookError(
            "In how many moves was it mate?", "Say it, such as 'mated in 14', or 'mated, not counted'."
        )
    words = _COUNTED.fullmatch(_tidy(text))
    lost = _LOST_A_MAN.fullmatch(words["words"]) if words else None
    if lost is not None and not _may_lose(board, lost["man"]):
        side = "White" if board.turn else "Black"
        raise CoachbookError(
            f"{side} has no {lost['man']} in this play-out: it has {_men_in_words(board)}.",
            f"Say what was lost, or how it ended ({ENDS}).",
        )


def _may_lose(board: chess.Board, man: str) -> bool:
    """A pawn may have become any piece."""
    men = [kind for kind in chess.PIECE_TYPES if kind != chess.KING and board.pieces_mask(kind, board.turn)]
    if man == "pawn":
        return chess.PAWN in men
    return chess.PAWN in men or (bool(men) if man == "piece" else chess.PIECE_NAMES.index(man) in men)


def _men_in_words(board: chess.Board) -> str:
    """Such as "king and 2 rooks"."""
    own = [piece.piece_type for piece in board.piece_map().values() if piece.color == board.turn]
    counts = Counter(chess.piece_name(kind) for kind in own if kind != chess.KING)
    others = [name if count == 1 else f"{count} {name}s" for name, count in counts.items()]
    return f"the king and {' and '.join(others)}" if others else "the king alone"


def _tidy(text: str) -> str:
    return " ".join(text.casefold().replace("#", " mate ").replace(",", " ").split()).strip(" .!")


def _end(words: str, goal: Goal) -> PlayOutEnd | None:
    if _LOST_A_MAN.fullmatch(words):
        return PlayOutEnd.DRAW if goal is Goal.WIN else PlayOutEnd.LOST
    return (_WORDS_TO_WIN if goal is Goal.WIN else _WORDS_TO_DRAW).get(words)

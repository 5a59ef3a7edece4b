"""How a play-out ended, told in a word or two: "mated in 14", "stalemate", "gave up"."""

import re
from dataclasses import dataclass

from coachbook.errors import CoachbookError
from coachbook.model.club import PlayOutEnd
from coachbook.model.syllabus import Goal

MOST_MOVES = 999

_WORDS_AND_COUNT = r"(?P<words>.*?)(?: (?:in|after|for|on|at))?(?: move)?(?: ?(?P<used>%s)(?: moves?)?)?"
_COUNTED = re.compile(_WORDS_AND_COUNT % "[1-9][0-9]{0,2}")
_MISCOUNTED = re.compile(_WORDS_AND_COUNT % "-?[0-9]{1,20}")
_LOST_A_MAN = re.compile(r"lost (?:(?:the|his|her|a) )?(?:queen|rook|bishop|knight|pawn|piece)")
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

    A number alone is that of the moves in which the goal was reached. Who was to hold a draw and
    is said to have "mated" was mated; to say that he won, write "won". To lose a man is a draw
    for who was to win.
    """
    tidy = _tidy(text)
    match = _COUNTED.fullmatch(tidy)
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


def _tidy(text: str) -> str:
    return " ".join(text.casefold().replace("#", " mate ").replace(",", " ").split()).strip(" .!")


def _end(words: str, goal: Goal) -> PlayOutEnd | None:
    if _LOST_A_MAN.fullmatch(words):
        return PlayOutEnd.DRAW if goal is Goal.WIN else PlayOutEnd.LOST
    return (_WORDS_TO_WIN if goal is Goal.WIN else _WORDS_TO_DRAW).get(words)

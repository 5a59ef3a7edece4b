"""The letters that other languages have for the men, and which of them answers seem to be written in.

King, queen, rook, bishop, knight, as common practice in chess books and on score sheets has them. Only
languages with one sign for each man are here. Where two share letters, the first name stands for both.
"""

import re
from collections.abc import Iterable
from dataclasses import dataclass

import chess

from coachbook.exercises.notation import NoMove, read_moves

MEN = ("king", "queen", "rook", "bishop", "knight")
COMMON_LETTERS = {
    "German": "KDTLS",  # as Danish, Norwegian, Swedish, Croatian, Slovene
    "French": "RDTFC",
    "Spanish": "RDTAC",  # as Italian, Catalan
    "Portuguese": "RDTBC",
    "Romanian": "RDTNC",
    "Dutch": "KDTLP",
    "Polish": "KHWGS",
    "Czech": "KDVSJ",  # as Slovak
    "Hungarian": "KVBFH",
    "Finnish": "KDTLR",
    "Icelandic": "KDHBR",
    "Estonian": "KLVOR",
    "Latvian": "KDTLZ",
    "Lithuanian": "KVBRŽ",
    "Turkish": "ŞVKFA",
    "Greek": "\u03a1\u0392\u03a0\u0391\u0399",
}
_ENGLISH = "KQRBNP"
_FILES = "abcdefgh"


@dataclass(frozen=True, slots=True)
class Suggestion:
    """`letters` with which more can be read, and one that was written: it names the man `man`."""

    letters: str
    letter: str
    man: str


def suggest_letters(failed: Iterable[tuple[str, str]]) -> Suggestion | None:
    """The letters that answers seem to be written in; None if no others make moves of them.

    An answer is the position in FEN and what was written that is no legal move with English letters. Of
    several sets that would do, the one for most answers, then the first of the table.
    """
    answers = [(chess.Board(fen), written) for fen, written in failed]
    found = {
        letters: [letter for answer in answers if (letter := _foreign_letter(*answer, letters)) is not None]
        for letters in COMMON_LETTERS.values()
    }
    best = max(found, key=lambda letters: len(found[letters]))
    if not found[best]:
        return None
    letter = found[best][0]
    return Suggestion(best, letter, MEN[best.index(letter)])


def _foreign_letter(board: chess.Board, written: str, letters: str) -> str | None:
    """A letter that is not English and without which the moves would not be legal; None if there is none.

    Small letters that name a file say nothing: they may be those of a pawn's move.
    """
    moves = read_moves(board, written, letters)
    if not moves or any(isinstance(move, NoMove) for move in moves):
        return None
    for letter in letters:
        signs = letter if letter.lower() in _FILES else letter + letter.lower()
        if letter not in _ENGLISH and re.search(rf"(?<!\w)[{signs}][a-h1-8x:-]", written):
            return letter
    return None

"""The letters that other languages have for the men, and which of them answers seem to be written in.

King, queen, rook, bishop, knight, as chess books and score sheets have them: from memory, no source. Only
languages with one sign for each man are here. Where two share letters, the first name stands for both.
"""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass

import chess

from coachbook.exercises.notation import NoMove, split_moves

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
    "Bulgarian": "\u0426\u0414\u0422\u041e\u041a",
}
ENGLISH = "KQRBN"


def in_words(letters: str) -> str:
    """Which letter stands for which man: "king D, queen K, rook T, bishop L, knight S"."""
    return ", ".join(f"{man} {letter}" for man, letter in zip(MEN, letters, strict=True))


def likely_order(letters: str) -> str | None:
    """The letters of a language that are the same in another order; None if these are one's as they stand.

    Of several languages, the first of the table.
    """
    known = (ENGLISH, *COMMON_LETTERS.values())
    if letters in known:
        return None
    return next((each for each in known if sorted(each) == sorted(letters)), None)


@dataclass(frozen=True, slots=True)
class Suggestion:
    """`letters` with which more can be read, and one that was written: it names the man `man`."""

    letters: str
    letter: str
    man: str


def suggest_letters(failed: Iterable[tuple[str, str]]) -> Suggestion | None:
    """The letters that answers seem to be written in; None if no others make moves of them.

    An answer is the position in FEN and what was written, of which something is no legal move with English
    letters. Of several sets that would do, the one for most moves; of these the one for most letters that
    are not English, then the first of the table.
    """
    answers = [(chess.Board(fen), written) for fen, written in failed]
    found = {
        letters: [letter for answer in answers for letter in _foreign_letters(*answer, letters)]
        for letters in COMMON_LETTERS.values()
    }
    best = max(found, key=lambda letters: (len(found[letters]), _strange(found[letters])))
    if not found[best]:
        return None
    letter = next((each for each in found[best] if each not in ENGLISH), found[best][0])
    return Suggestion(best, letter, MEN[best.index(letter)])


def _strange(letters: Sequence[str]) -> int:
    return sum(letter not in ENGLISH for letter in letters)


def _foreign_letters(board: chess.Board, written: str, letters: str) -> Iterator[str]:
    """Those by which a part of an answer is a legal move that it is not with English letters."""
    for part in split_moves(written, letters):
        english, move = part.in_english.read(board), part.read(board)
        if isinstance(english, NoMove) and not isinstance(move, NoMove):
            man = move.promotion or board.piece_type_at(move.from_square) or chess.PAWN
            if man != chess.PAWN:
                yield letters[chess.KING - man]

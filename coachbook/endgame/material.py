"""Which men an ending has: parsing its name, and who is called the stronger side."""

from dataclasses import dataclass

import chess

from coachbook.errors import CoachbookError


class UnknownEndingError(CoachbookError):
    """The tables don't know this: too many men, a table that is not built or damaged, castling rights, or no
    legal position."""


PIECES = "QRBNP"
_NAMES = {"queen": "Q", "rook": "R", "bishop": "B", "knight": "N", "pawn": "P"}
_AGAINST = ("v", "vs", "versus", "against")
_NUMBERS = {"two": 2, "three": 3, "four": 4}
_VALUES = {"Q": 9, "R": 5, "B": 3, "N": 3, "P": 1}


@dataclass(frozen=True, slots=True, order=True)
class Material:
    """The men besides the kings, as letters from QRBNP, strongest first: ("Q", "R") is KQKR.

    White is the stronger side in a table; boards with colours the other way are flipped
    before they are looked up.
    """

    white: str
    black: str

    @property
    def name(self) -> str:
        return f"K{self.white}K{self.black}"

    @property
    def men(self) -> int:
        """How many men stand on the board, kings included."""
        return 2 + len(self.white) + len(self.black)

    @property
    def has_pawns(self) -> bool:
        return "P" in self.white + self.black

    @property
    def flipped(self) -> "Material":
        return Material(self.black, self.white)

    @property
    def canonical(self) -> "Material":
        """Itself or its colour flip: the one whose white side is the stronger."""
        return max(self, self.flipped, key=lambda m: _strength(m.white))

    @property
    def in_words(self) -> str:
        """For a coach: "king and queen against king"."""
        return f"{_side_in_words(self.white)} against {_side_in_words(self.black)}"


def _strength(letters: str) -> tuple[int, int, str]:
    alphabetical_by_value = "".join(str(len(PIECES) - PIECES.index(letter)) for letter in letters)
    return len(letters), sum(_VALUES[letter] for letter in letters), alphabetical_by_value


def _side_in_words(letters: str) -> str:
    number_words = {number: word for word, number in _NUMBERS.items()}
    names = ["king"]
    for name, letter in _NAMES.items():
        number = letters.count(letter)
        if number:
            names.append(name if number == 1 else f"{number_words.get(number, number)} {name}s")
    return f"{', '.join(names[:-1])} and {names[-1]}" if names[1:] else "king"


def sort_letters(letters: str) -> str:
    """Letters in the fixed order queen, rook, bishop, knight, pawn."""
    return "".join(sorted(letters, key=PIECES.index))


def material_of(board: chess.Board) -> Material:
    """What is on the board, colours as they are (not made canonical)."""
    sides = []
    for colour in chess.COLORS:
        counts = [
            (letter, len(board.pieces(chess.Piece.from_symbol(letter).piece_type, colour)))
            for letter in PIECES
        ]
        sides.append("".join(letter * count for letter, count in counts))
    return Material(*sides)


def parse_material(text: str) -> Material:
    """Read "KQKR", "kbnk", "queen v rook" or "bishop and knight against king".

    The result is canonical (the stronger side is White). Raises CoachbookError if the text names no ending.
    """
    sides = _split_words(text) if " " in text.strip() else _split_letters(text)
    if sides is None:
        raise CoachbookError(
            f"'{text}' is not the name of an ending.",
            "Write it like KQKR, or like 'queen v rook'.",
        )
    return Material(sort_letters(sides[0]), sort_letters(sides[1])).canonical


def _split_letters(text: str) -> tuple[str, str] | None:
    letters = text.strip().upper()
    if not letters.startswith("K") or letters.count("K") != 2 or set(letters) - set(PIECES + "K"):
        return None
    white, black = letters[1:].split("K")
    return white, black


def _split_words(text: str) -> tuple[str, str] | None:
    words = text.lower().replace(",", " ").replace(".", " ").split()
    against = [place for place, word in enumerate(words) if word in _AGAINST]
    if len(against) != 1:
        return None
    middle = against[0]
    white, black = _letters_of(words[:middle]), _letters_of(words[middle + 1 :])
    return None if white is None or black is None else (white, black)


def _letters_of(words: list[str]) -> str | None:
    """The letters of one side: ["two", "rooks", "and", "pawn"] gives "RRP"."""
    letters, number = "", 0
    for word in words:
        if word in _NUMBERS:
            number = _NUMBERS[word]
        elif word.removesuffix("s") in _NAMES:
            letters += _NAMES[word.removesuffix("s")] * (number or (2 if word.endswith("s") else 1))
            number = 0
        elif word not in ("and", "king"):
            return None
    return letters

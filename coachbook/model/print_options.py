"""What the person at the printer may choose. Apart from what is printed, so that help need not load that."""

from dataclasses import dataclass
from enum import StrEnum

from coachbook.errors import CoachbookError

BOARDS_A_PAGE = (1, 2, 4, 6, 9)
MOST_BOARDS_TWO_UP = 6
"""Where two pages stand side by side: of more, some would be smaller than 25 mm."""


class PaperSize(StrEnum):
    """A4 (ISO 216) or US Letter."""

    A4 = "A4"
    LETTER = "Letter"


class Notation(StrEnum):
    """Moves with little drawn pieces, or with letters."""

    FIGURINE = "figurine"
    LETTERS = "letters"


@dataclass(frozen=True, slots=True)
class PaperOptions:
    """Paper size, how moves are written, and how full a worksheet's page may be.

    `letters` stand for king, queen, rook, bishop and knight wherever letters are printed
    (Swedish: KDTLS). `boards_a_page` is the most: a sheet whose words need more room gets
    fewer, and so does any sheet in `large_print`. With `two_sides` every copy of a worksheet
    begins on a new leaf when both sides of the paper are printed. With `two_up` the printer's file
    has two pages side by side on each page, which only boards of some size stand.
    """

    size: PaperSize = PaperSize.A4
    notation: Notation = Notation.FIGURINE
    letters: str = "KQRBN"
    boards_a_page: int = 6
    large_print: bool = False
    two_sides: bool = False
    two_up: bool = False

    def __post_init__(self) -> None:
        if len(self.letters) != 5 or len(set(self.letters)) != 5 or not self.letters.isalpha():
            raise CoachbookError(
                f"'{self.letters}' does not name the pieces.",
                "Give five different letters: king, queen, rook, bishop, knight, such as KDTLS.",
            )
        if self.boards_a_page not in BOARDS_A_PAGE:
            raise CoachbookError(
                f"There is no page of {self.boards_a_page} boards.",
                f"Choose one of {', '.join(map(str, BOARDS_A_PAGE))}.",
            )
        if self.two_up and self.large_print:
            raise CoachbookError(
                "Large print is not large with two pages side by side.", "Choose one of the two."
            )
        if self.two_up and self.boards_a_page > MOST_BOARDS_TWO_UP:
            raise CoachbookError(
                f"{self.boards_a_page} boards a page are too small with two pages side by side.",
                f"Choose {MOST_BOARDS_TWO_UP} boards or fewer.",
            )

    @property
    def men(self) -> str:
        """The five signs that moves are printed with: king, queen, rook, bishop, knight."""
        return "\u2654\u2655\u2656\u2657\u2658" if self.notation is Notation.FIGURINE else self.letters

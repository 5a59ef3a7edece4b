"""What the person at the printer may choose."""

from dataclasses import dataclass
from enum import StrEnum


class PaperSize(StrEnum):
    """A4 (ISO 216) or US Letter."""

    A4 = "A4"
    LETTER = "Letter"


class Notation(StrEnum):
    """Moves with little drawn pieces, or with the letters K Q R B N."""

    FIGURINE = "figurine"
    LETTERS = "letters"


@dataclass(frozen=True, slots=True)
class PaperOptions:
    """Paper size and the way in which moves are written."""

    size: PaperSize = PaperSize.A4
    notation: Notation = Notation.FIGURINE

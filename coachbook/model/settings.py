"""What a club has chosen once for all its papers and dates, or coachbook does by itself."""

from dataclasses import dataclass
from enum import StrEnum
from pathlib import Path

from coachbook.model.print_options import Notation, PaperOptions, PaperSize


class DateStyle(StrEnum):
    """How dates are shown: 2027-01-12, 12 Jan 2027, or Jan 12, 2027. The usual one is the first on the screen
    and the second on paper."""

    USUAL = "usual"
    ISO = "iso"
    DAY_FIRST = "day-first"
    MONTH_FIRST = "month-first"


@dataclass(frozen=True, slots=True)
class ClubSettings:
    """A club's own ways; an option that is typed wins over them.

    `letters` are those for king, queen, rook, bishop and knight ("KDTLS"), "" for English ones. `folder` is
    the whole path of the one where papers go, "" for the one that the coach is in.
    """

    paper: PaperSize = PaperSize.A4
    notation: Notation = Notation.FIGURINE
    letters: str = ""
    folder: str = ""
    dates: DateStyle = DateStyle.USUAL

    @property
    def papers(self) -> Path:
        """Where papers go that are not sent elsewhere."""
        return Path(self.folder)

    @property
    def men(self) -> str:
        """The five signs that moves are shown with: king, queen, rook, bishop, knight."""
        return PaperOptions(notation=self.notation, letters=self.letters or PaperOptions().letters).men

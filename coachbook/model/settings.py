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
        return paper_options(self, None).men


def paper_options(
    club: ClubSettings,
    paper: PaperSize | None,
    notation: Notation | None = None,
    letters: str | None = None,
    boards: int = PaperOptions().boards_a_page,
    *,
    large: bool = False,
    two_sides: bool = False,
    two_up: bool = False,
) -> PaperOptions:
    """What was asked for on paper; what was not (None) is as the club has it. Letters for the pieces mean
    that moves are written with letters; where neither is asked for nor the club's, they are English ones.

    Raises CoachbookError for letters or a number of boards that cannot be, and for what does not go
    together.
    """
    written = Notation.LETTERS if letters is not None else notation or club.notation
    chosen = letters if letters is not None else club.letters or PaperOptions().letters
    return PaperOptions(paper or club.paper, written, chosen, boards, large, two_sides, two_up)

"""Play-out cards of a unit: its positions to play out against the coach, to cut apart and hand out."""

from pathlib import Path

from coachbook.club.book import Book
from coachbook.errors import CoachbookError
from coachbook.model.play_out_card import PlayOutCard, card_code
from coachbook.model.position import Position
from coachbook.model.syllabus import Unit
from coachbook.paper.cards import write_cards
from coachbook.paper.options import PaperOptions
from coachbook.workflows.sheets import make_folder


def make_cards(
    book: Book, unit: Unit, students: tuple[str, ...], folder: Path, options: PaperOptions
) -> tuple[Path, int]:
    """Print the cards of a unit, all positions for each student in turn; without students one of each
    with a blank name line. Returns the file and how many cards are in it.

    Raises CoachbookError if the unit has no play-out.
    """
    cards = unit_cards(unit, book.club_name, students)
    if not cards:
        raise CoachbookError(
            f"The unit {unit.code} has no position to play out.", "Add a play_out to it in the syllabus."
        )
    path = folder / f"cards-{unit.code}.pdf"
    make_folder(folder)
    write_cards(cards, path, options)
    return path, len(cards)


def unit_cards(unit: Unit, club: str, students: tuple[str, ...]) -> tuple[PlayOutCard, ...]:
    """The cards in printed order. The student has the side that is to move."""
    return tuple(
        PlayOutCard(
            code=card_code(unit.code, number),
            club=club,
            unit_title=unit.title,
            level=unit.level,
            position=position,
            white=position.white_to_move,
            allowance=play_out.allowance,
            goal=play_out.goal,
            student=student,
        )
        for student in students or ("",)
        for number, play_out in enumerate(unit.play_outs, start=1)
        for position in [Position(play_out.fen)]
    )

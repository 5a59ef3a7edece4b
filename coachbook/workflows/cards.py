"""Play-out cards of a unit: its positions to play out against the coach, to cut apart and hand out."""

from pathlib import Path

from coachbook.club.book import Book
from coachbook.errors import CoachbookError
from coachbook.model.play_out_card import PlayOutCard, card_code
from coachbook.model.position import Position
from coachbook.model.syllabus import Syllabus, Unit
from coachbook.paper.cards import write_cards
from coachbook.paper.options import PaperOptions
from coachbook.workflows.file_names import file_name_of
from coachbook.workflows.papers import make_folder

_NEAREST = 3
"""Of so many units with cards the title is told, too, where a unit has none."""


def make_cards(
    book: Book,
    syllabus: Syllabus,
    unit: Unit,
    students: tuple[str, ...],
    folder: Path,
    options: PaperOptions,
) -> tuple[Path, int]:
    """Print the cards of a unit, all positions for each student in turn; without students one of each
    with a blank name line. Returns the file and how many cards are in it.

    Raises CoachbookError if the unit has no play-out.
    """
    cards = unit_cards(unit, book.club_name, students)
    if not cards:
        raise CoachbookError(
            f"The unit {unit.code} has no position to play out.", _units_with_cards(syllabus, unit)
        )
    for_one = f"-{file_name_of(book, students[0])}" if len(students) == 1 else ""
    path = folder / f"cards-{unit.code}{for_one}.pdf"
    make_folder(folder)
    write_cards(cards, path, options)
    return path, len(cards)


def _units_with_cards(syllabus: Syllabus, unit: Unit) -> str:
    """The nearest by code and title, then the codes of all others, in the order of the syllabus."""
    codes = [each.code for each in syllabus.units]
    here = codes.index(unit.code)
    known = [each for each in syllabus.units if each.play_outs]
    if not known:
        return "No unit has one: add a play_out in the syllabus."
    by_distance = sorted(known, key=lambda each: abs(codes.index(each.code) - here))
    nearest = [each for each in known if each in by_distance[:_NEAREST]]
    told = ", ".join(f"{each.code} ({each.title})" for each in nearest)
    others = ", ".join(each.code for each in known if each not in nearest)
    return f"Near it these have: {told}{f'; and then {others}' if others else ''}."


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

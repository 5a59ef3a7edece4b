"""The papers for exactly what needs review: a sheet for each student, and cards to play."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from pathlib import Path

from coachbook.club.book import Book, Writing
from coachbook.exercises.generate import derived_seed
from coachbook.model.play_outs import PlayOutCard
from coachbook.model.print_options import PaperOptions
from coachbook.model.progress import ReviewAdvice
from coachbook.model.syllabus import Syllabus
from coachbook.paper.play_out_cards import cards_pdf
from coachbook.workflows.papers import papers_in
from coachbook.workflows.printed_sheets import (
    Handout,
    SheetStart,
    add_sheets,
    put_sheets_in_place,
    save_sheet,
)
from coachbook.workflows.sheet_making import REVIEW, free_code, items_for_review, used_by
from coachbook.workflows.unit_papers import unit_cards

_MOST_ITEMS = 10


@dataclass(frozen=True, slots=True)
class ReviewPapers:
    """What was made for review: each sheet with its student, and the files; `short` names students
    for whom no fresh position was left."""

    handed_out: tuple[Handout, ...]
    files: tuple[Path, ...]
    short: tuple[str, ...] = ()


def make_review(
    book: Book,
    syllabus: Syllabus,
    advice: Sequence[ReviewAdvice],
    on: date,
    seed: int,
    folder: Path,
    options: PaperOptions,
) -> ReviewPapers:
    """Make, save and print what the advice says to give: a sheet of their own for each student, with
    at most ten items of the most urgent units, and cards for the play-outs; all of it, or nothing.

    Raises CoachbookError if an item is too long for a page, or a file cannot be written.
    """
    for_sheets, for_key, for_cards = (folder / f"review-{on}{what}.pdf" for what in ("", "-key", "-cards"))
    names = tuple(dict.fromkeys(each.student for each in advice))
    files: list[Path] = []
    with papers_in(folder) as papers:
        with book.writing() as tx:
            handed_out, short = [], []
            for number, name in enumerate(names):
                given = _sheet_for(tx, book.club_name, syllabus, advice, name, on, seed, number)
                handed_out += given
                if not given and any(each.items for each in advice if each.student == name):
                    short.append(name)
            if handed_out:
                files += [for_sheets, for_key]
                copies = [(sheet, students[0]) for sheet, students in handed_out]
                add_sheets(papers, copies, for_sheets, for_key, options)
            cards = [card for each in advice for card in _cards(each, syllabus, book.club_name)]
            if cards:
                files.append(for_cards)
                papers.add(for_cards, cards_pdf(cards, options))
        put_sheets_in_place(papers, [sheet for sheet, _ in handed_out])
    return ReviewPapers(tuple(handed_out), tuple(files), tuple(short))


def _sheet_for(
    tx: Writing,
    club: str,
    syllabus: Syllabus,
    advice: Sequence[ReviewAdvice],
    student: str,
    on: date,
    seed: int,
    number: int,
) -> list[Handout]:
    """A student's sheet, saved; none if there is nothing to put on it."""
    wanted, left = [], _MOST_ITEMS
    for each in advice:
        if each.student == student and each.items and left:
            wanted.append((syllabus.unit(each.unit), min(each.items, left)))
            left -= wanted[-1][1]
    items = items_for_review(wanted, derived_seed(seed, str(number)), used_by(tx, (student,)))
    if not items:
        return []
    first = wanted[0][0]
    code = free_code(tx, syllabus, REVIEW, seed, on, number)
    start = SheetStart(code, club, first, on, seed)
    return [save_sheet(tx, syllabus, start, items, (student,), title="Review")]


def _cards(advice: ReviewAdvice, syllabus: Syllabus, club: str) -> list[PlayOutCard]:
    unit = syllabus.unit(advice.unit)
    cards = unit_cards(syllabus, unit, club, (advice.student,))
    return [card for card in cards if card.code == advice.play_out]

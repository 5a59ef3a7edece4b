"""Certificates: when a student earned each unit of a level, and the page for a level that was earned."""

from datetime import date
from pathlib import Path

from coachbook.club.book import Book
from coachbook.club.results import evenings
from coachbook.club.students import student_named
from coachbook.errors import CoachbookError
from coachbook.files.writing import put_in_place
from coachbook.model.print_options import PaperOptions
from coachbook.model.printed import Certificate
from coachbook.model.progress import EarnedLevel
from coachbook.model.syllabus import Level, Syllabus
from coachbook.paper.certificate import certificate_pdf
from coachbook.progress.standing import earned_level
from coachbook.wording.people import missing_in_words
from coachbook.workflows.papers import file_name_of


def level_of_student(book: Book, syllabus: Syllabus, name: str, level: int, on: date) -> EarnedLevel:
    """What a student has earned of a level by a day. Raises CoachbookError for an unknown student
    or level."""
    asked = _level(syllabus, level)
    with book.reading() as tx:
        student = student_named(tx, name).name
        seen = evenings(tx, student=student, until=on)[student]
    return earned_level(student, asked, seen, on)


def certificate(book: Book, syllabus: Syllabus, earned: EarnedLevel) -> Certificate:
    """For a level of which every unit was secure once, however long ago. Raises CoachbookError, naming each
    unit of which something is missing, and what."""
    level = _level(syllabus, earned.level)
    days = [unit.on for unit in earned.units if unit.on is not None]
    if len(days) < len(earned.units):
        missing = "; ".join(
            f"in {unit.title}: {', '.join(map(missing_in_words, unit.missing))}"
            for unit in earned.units
            if unit.missing
        )
        raise CoachbookError(
            f"{earned.student} has not completed level {earned.level} yet. Missing {missing}.",
            "What is earned stays earned.",
        )
    return Certificate(
        club=book.club_name,
        student=earned.student,
        level=earned.level,
        level_title=level.title,
        can=tuple(unit.aim for unit in level.units),
        on=max(days),
        days=tuple(days),
    )


def print_certificate(book: Book, earned: Certificate, path: Path | None, options: PaperOptions) -> Path:
    """Put a certificate in place, named after level and student if no path is given: where it is.

    Raises CoachbookError if the file cannot be written.
    """
    place = (
        path or book.settings.papers / f"certificate-{earned.level}-{file_name_of(book, earned.student)}.pdf"
    )
    put_in_place(place, certificate_pdf(earned, options))
    return place


def _level(syllabus: Syllabus, number: int) -> Level:
    for level in syllabus.levels:
        if level.number == number:
            return level
    known = ", ".join(str(level.number) for level in syllabus.levels)
    raise CoachbookError(f"There is no level {number}.", f"Choose one of: {known}.")

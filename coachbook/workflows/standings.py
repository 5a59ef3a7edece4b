"""The syllabus in use, where students stand by it, and who needs review."""

from dataclasses import dataclass
from datetime import date, timedelta
from pathlib import Path

from coachbook.club.book import Book, Reading
from coachbook.club.results import evenings
from coachbook.club.students import list_groups
from coachbook.exercises.kinds import kind_names
from coachbook.files.reading import shipped_folder
from coachbook.method.teaching_order import method_names
from coachbook.model.problem import Problem
from coachbook.model.progress import ReviewAdvice, UnitProgress
from coachbook.model.syllabus import Syllabus
from coachbook.progress.standing import overview, review_advice
from coachbook.syllabus import check_syllabus, read_syllabus
from coachbook.workflows.members import named_group, next_evening


def load_syllabus(folder: Path | None = None) -> Syllabus:
    """The syllabus in a folder, else the one that came with coachbook. Raises CoachbookError, naming the
    first mistake, if it has any."""
    return read_syllabus(
        folder or shipped_folder("curricula"), frozenset(kind_names()), frozenset(method_names())
    )


def find_mistakes(folder: Path | None = None) -> tuple[Problem, ...]:
    """Every mistake in the files of a syllabus."""
    source = folder or shipped_folder("curricula")
    return check_syllabus(source, frozenset(kind_names()), frozenset(method_names()))[1]


def progress_of(
    tx: Reading, syllabus: Syllabus, on: date, *, student: str | None = None, group: str | None = None
) -> tuple[UnitProgress, ...]:
    """The standing on a day of a student, of the students of a group, or of all: every student by
    name, each with every unit of the syllabus in order. Raises CoachbookError for an unknown one."""
    return overview(syllabus, evenings(tx, student=student, group=group, until=on), on)


@dataclass(frozen=True, slots=True)
class Reviews:
    """What is due by a day, most urgent first; `is_planned` if that is the day of the next evening."""

    due_by: date
    is_planned: bool
    advice: tuple[ReviewAdvice, ...]


def reviews_due(book: Book, syllabus: Syllabus, group: str | None, on: date) -> Reviews:
    """The students of a group (or of the club) who need review on a day, or will by the next evening that
    a term plan has: what is not given out until then comes too late. Of a club it is the first of any
    of its groups. Raises CoachbookError for an unknown group."""
    with book.reading() as tx:
        names = [each.name for each in list_groups(tx)] if group is None else [named_group(tx, group).name]
        next_on = next_evening(tx, names, on + timedelta(days=1))
    due_by = next_on or on
    advice = who_needs_review(book, syllabus, group, on, due_by)
    return Reviews(due_by, next_on is not None, advice)


def who_needs_review(
    book: Book, syllabus: Syllabus, group: str | None, on: date, due_by: date | None = None
) -> tuple[ReviewAdvice, ...]:
    """The students of a group (or of the club) who need review on a day, or will by a later one, most
    urgent first. Raises CoachbookError for an unknown group."""
    with book.reading() as tx:
        return review_advice(syllabus, evenings(tx, group=group, until=on), on, due_by=due_by or on)

"""Care of the club's data: backups, bringing one back, and a student's right to be forgotten."""

from dataclasses import dataclass
from datetime import datetime
from pathlib import Path

from coachbook.club.backup import back_up, back_up_before, back_up_daily, back_up_to
from coachbook.club.book import Book, open_book
from coachbook.club.check import Counts, count
from coachbook.club.erase import Rewritten, count_facts, erase_student, rename_student, unread_files
from coachbook.club.restore import Restored, restore
from coachbook.workflows.places import usual_book


@dataclass(frozen=True, slots=True)
class Kept:
    """A backup, and how much it holds."""

    path: Path
    counts: Counts


@dataclass(frozen=True, slots=True)
class BroughtBack:
    """A book that holds what a backup held: how much, and what became of the book before."""

    path: Path
    counts: Counts
    done: Restored


def before_logging(book: Book, now: datetime) -> None:
    """Make the backup of the day, before the first thing that is logged; `now` is aware.

    Call it before the transaction that writes, not within. Raises CoachbookError if it cannot be
    made, also because the book is damaged: then nothing should be logged.
    """
    back_up_daily(book.path, now.astimezone())


def safe_first(book: Book, what: str, now: datetime) -> Path:
    """Make a verified backup before something that cannot else be taken back; `what` is one word for its
    name, such as "import". Raises CoachbookError: then nothing should be done."""
    return back_up_before(book.path, what, now.astimezone())


def make_backup(book: Book, to: Path | None, now: datetime) -> Kept:
    """Make a verified backup in a new file, by default among the book's own. Raises CoachbookError."""
    if to is None:
        made = back_up(book.path, now.astimezone())
    else:
        back_up_to(book.path, to)
        made = to
    with book.reading() as page:
        return Kept(made, count(page))


def bring_back(path: Path | None, backup: Path, now: datetime) -> BroughtBack:
    """Give the book (the usual one, if none is named) the contents of a backup.

    `backup` is a file, or the name of one of the book's own backups; the book as it is becomes one
    of these. Raises CoachbookError; then the book is as it was.
    """
    place = path or usual_book()
    done = restore(place, backup, now.astimezone())
    with open_book(place).reading() as page:
        return BroughtBack(place, count(page), done)


def traces_of(book: Book, name: str) -> tuple[str, int]:
    """The name of a student as it is kept, and how many facts there are. Raises CoachbookError."""
    return count_facts(book.path, name)


def not_ours(book: Book) -> tuple[Path, ...]:
    """Files among the book's own backups that coachbook cannot read, and leaves as they are. Raises
    CoachbookError."""
    return unread_files(book.path)


def erase_member(book: Book, name: str) -> Rewritten:
    """Erase a student in the book and its own backups, with each mention. Raises CoachbookError."""
    return erase_student(book.path, name)


def rename_member(book: Book, old: str, new: str) -> Rewritten:
    """Rename a student in the book and its own backups, and in notes. Raises CoachbookError."""
    return rename_student(book.path, old, new)

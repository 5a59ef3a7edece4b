"""Care of the club's data: backups, bringing one back, and a student's right to be forgotten."""

from dataclasses import dataclass
from datetime import datetime
from pathlib import Path
from tempfile import gettempdir

from coachbook.club.backup import (
    back_up,
    back_up_before,
    back_up_daily,
    back_up_to,
    own_backups,
    said_by_name,
)
from coachbook.club.book import Book, open_book
from coachbook.club.book_check import Counts, count
from coachbook.club.draft import draft_file, drop_draft
from coachbook.club.erase import (
    Rewritten,
    check_new_name,
    count_facts,
    erase_student,
    find_mentions,
    rename_student,
    unread_files,
)
from coachbook.club.free_text import NOTHING, Mention, Wording
from coachbook.club.restore import Restored, compare, held_in, restore
from coachbook.club.taken_back import is_anything_taken_back
from coachbook.errors import Advice, CoachbookError, Step
from coachbook.files.reading import usual_book
from coachbook.files.unfinished import sweep_left_over, unfinished_folder


@dataclass(frozen=True, slots=True)
class Kept:
    """A backup, and how much it holds."""

    path: Path
    counts: Counts


@dataclass(frozen=True, slots=True)
class OwnBackup:
    """One of the book's own backups: when it was made, by the clock of then (None if its name does not say),
    why, by a word of its name, and how much it holds, None if it cannot be read."""

    path: Path
    made: datetime | None
    why: str
    counts: Counts | None


@dataclass(frozen=True, slots=True)
class BroughtBack:
    """A book that holds what a backup held: how much, and what became of the book before."""

    path: Path
    counts: Counts
    done: Restored


@dataclass(frozen=True, slots=True)
class ToBringBack:
    """What a backup holds and what it would take the place of: the book at `path`, None if there is none; who
    would be in the book again, and who no longer."""

    path: Path
    backup: Counts
    book: Counts | None
    come_back: tuple[str, ...]
    gone: tuple[str, ...]


def before_logging(book: Book, now: datetime) -> None:
    """Make the backup of the day, before the first thing that is logged; `now` is aware.

    Call it before the transaction that writes, not within. Raises CoachbookError if it cannot be
    made, also because the book is damaged: then nothing should be logged.
    """
    back_up_daily(book.path, now.astimezone())


def before_typing(book: Book, now: datetime) -> None:
    """Make the backup of the day, and try whether the book can be written, before a coach types what is then
    to be logged. Raises CoachbookError if either cannot be done."""
    before_logging(book, now)
    book.try_writing()


def safe_first(book: Book, what: str, now: datetime) -> Path:
    """Make a verified backup before something that cannot else be taken back; `what` is one word for its
    name, such as "import". Raises CoachbookError: then nothing should be done."""
    return back_up_before(book.path, what, now.astimezone())


def make_backup(book: Book, to: Path | None, now: datetime) -> Kept:
    """Make a verified backup in a new file, by default among the book's own. Raises CoachbookError if there
    is such a file, it cannot be written, or the book is damaged."""
    if to is None:
        made = back_up(book.path, now.astimezone())
    else:
        back_up_to(book.path, to)
        made = to
    with book.reading() as tx:
        return Kept(made, count(tx))


def copy_of_book(book: Book) -> bytes:
    """A verified copy of the book as a file's contents. Raises CoachbookError if it cannot be made, or the
    book is damaged."""
    with unfinished_folder(Path(gettempdir())) as folder:
        back_up_to(book.path, folder / "copy.book")
        return (folder / "copy.book").read_bytes()


def backups_of(path: Path | None) -> tuple[OwnBackup, ...]:
    """The own backups of a book (the usual one, if none is named), the newest first; the book itself may be
    damaged, or not there."""
    place = path or usual_book()
    found = reversed(own_backups(place)) if place.parent.is_dir() else ()
    return tuple(OwnBackup(each, *said_by_name(each), _held(each)) for each in found)


def _held(backup: Path) -> Counts | None:
    try:
        return Counts(*held_in(backup)[0])
    except CoachbookError:
        return None


def bring_back(path: Path | None, backup: Path, now: datetime) -> BroughtBack:
    """Give the book (the usual one, if none is named) the contents of a backup.

    `backup` is a file, or the name of one of the book's own backups; the book as it is becomes one
    of these. Raises CoachbookError where `restore` does; then the book is as it was.
    """
    place = path or usual_book()
    done = restore(place, backup, now.astimezone())
    with open_book(place).reading() as tx:
        return BroughtBack(place, count(tx), done)


def look_at_backup(path: Path | None, backup: Path) -> ToBringBack:
    """What bringing a backup back would change in the book (the usual one, if none is named); nothing is
    kept. Raises CoachbookError where `bring_back` does."""
    place = path or usual_book()
    seen = compare(place, backup)
    now = None if seen.book is None else Counts(*seen.book)
    return ToBringBack(place, Counts(*seen.backup), now, seen.came_back, seen.gone)


def traces_of(book: Book, name: str) -> tuple[str, int | None]:
    """The name of a student as it is kept, and how many facts there are; None if there is no such student,
    and only texts mention one. Raises CoachbookError if no text does, or a backup cannot be used."""
    return count_facts(book.path, name)


def mentions_of(book: Book, name: str, new: str = "") -> tuple[Mention, ...]:
    """The texts of the book and its own backups that may mention a student who is to be erased, or to have a
    `new` name. Raises CoachbookError if a backup cannot be used."""
    return find_mentions(book.path, name, new)


def not_ours(book: Book) -> tuple[Path, ...]:
    """Files among the book's own backups that coachbook cannot read, and leaves as they are. Raises
    CoachbookError if another program uses one."""
    return unread_files(book.path)


def has_draft(book: Book) -> bool:
    """Whether something was typed and not kept."""
    return draft_file(book.path).exists()


def erase_member(book: Book, name: str, wording: Wording = NOTHING) -> Rewritten:
    """Erase a student in the book and its own backups, with what killed programs have left, and what was
    typed and not kept; other texts only as was decided. Raises CoachbookError if nothing is known of such a
    student, or a file cannot be used; then the student is still in the book."""
    sweep_left_over()
    done = erase_student(book.path, name, wording)
    drop_draft(book.path)
    return done


def has_taken_back(book: Book) -> bool:
    """Whether entries of the log were taken back and could be brought back."""
    with book.reading() as tx:
        return is_anything_taken_back(tx)


def check_no_draft(book: Book) -> None:
    """Raises CoachbookError if something was typed and not kept: it would be lost under another name."""
    if has_draft(book):
        raise CoachbookError(
            "Lines that were typed but not kept yet still have the old name.",
            Advice(Step.FINISH_LOGGING),
        )


def names_to_change(book: Book, old: str, new: str) -> tuple[str, str]:
    """The name of a student as it is, and as it would be. Raises CoachbookError if it cannot be."""
    return check_new_name(book.path, old, new)


def rename_member(book: Book, old: str, new: str, wording: Wording = NOTHING) -> Rewritten:
    """Rename a student in the book and its own backups; other texts only as was decided. Raises
    CoachbookError, also if something was typed and not kept."""
    check_no_draft(book)
    return rename_student(book.path, old, new, wording)

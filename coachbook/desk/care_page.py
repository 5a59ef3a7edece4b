"""Care of the book: backups, a copy to take along, bringing one back, checking; whose rules come first."""

from contextlib import suppress
from dataclasses import dataclass
from datetime import date

from starlette.responses import Response

from coachbook.desk.advice import problem_in_words
from coachbook.desk.asked import Asked, Page, downloaded
from coachbook.desk.jobs import Progress
from coachbook.desk.shown import shown
from coachbook.desk.work_page import at_work
from coachbook.errors import CoachbookError
from coachbook.wording.care_words import (
    held_in_words,
    never_logged,
    not_seen_for,
    renamed_slip,
    why_backed_up,
)
from coachbook.workflows.care import (
    BroughtBack,
    Kept,
    OwnBackup,
    ToBringBack,
    backups_of,
    bring_back,
    copy_of_book,
    look_at_backup,
    make_backup,
)
from coachbook.workflows.checking import Checked, check_book

_HERE = "/settings/care"
_MONTHS = 12
"""After which a student who was not seen is named."""


@dataclass(frozen=True, slots=True)
class _Seen:
    """A backup, and what bringing it back would change."""

    backup: OwnBackup
    change: ToBringBack


def show(asked: Asked) -> Response:
    """The backups, the newest first. The book itself need not be whole to come here."""
    _show_days(asked)
    return shown(asked, "care.html", backups=[_told(each) for each in backups_of(asked.desk.book)])


def back_up(asked: Asked) -> Response:
    """Make a backup among the book's own."""
    book, now, touch = asked.book(), asked.desk.now(), asked.text("touch")

    def do(_: Progress) -> str:
        asked.desk.outcomes.once(touch, Kept, lambda: make_backup(book, None, now))
        return _HERE

    return at_work(asked, "A backup", _HERE, do)


def copy(asked: Asked) -> Response:
    """A copy of the book for the browser to save."""
    return downloaded(copy_of_book(asked.book()), f"club-{asked.today}.book", "application/vnd.sqlite3")


def look(asked: Asked) -> Response:
    """See what bringing a backup back would change."""
    found = _backup(asked)

    def do(_: Progress) -> str:
        key = asked.desk.outcomes.add(_Seen(found, look_at_backup(asked.desk.book, found.path)))
        return f"{_HERE}/backup/{key}"

    return at_work(asked, "Looking at the backup", _HERE, do)


def ask(asked: Asked) -> Response:
    """What would be in the book again, and what no longer."""
    _show_days(asked)
    seen = asked.outcome("key", _Seen)
    book = seen.change.book
    return shown(
        asked,
        "care_backup.html",
        backup=_told(seen.backup),
        change=seen.change,
        held=held_in_words(book.students, book.sheets, book.answers) if book else "",
    )


def restore(asked: Asked) -> Response:
    """Bring back the backup that was looked at."""
    key, outcomes, now = str(asked.values["key"]), asked.desk.outcomes, asked.desk.now()
    backup, done = outcomes.get(key, _Seen).backup, f"{key}-0"

    def do(_: Progress) -> str:
        outcomes.once(done, BroughtBack, lambda: bring_back(asked.desk.book, backup.path, now))
        return f"{_HERE}/brought-back/{done}"

    return at_work(asked, "Bringing the backup back", _HERE, do)


def brought_back(asked: Asked) -> Response:
    """What came of it."""
    done = asked.outcome_to_show("key", BroughtBack)
    counts = done.counts
    held = held_in_words(counts.students, counts.sheets, counts.answers)
    return shown(asked, "care_brought_back.html", done=done.done, held=held)


def check(asked: Asked) -> Response:
    """Check the book and its backups."""
    book, today = asked.book(), asked.today

    def do(progress: Progress) -> str:
        key = asked.desk.outcomes.add(check_book(book, today, _MONTHS, progress))
        return f"{_HERE}/checked/{key}"

    return at_work(asked, "Checking the book", _HERE, do)


def checked(asked: Asked) -> Response:
    """What the check found."""
    found = asked.outcome_to_show("key", Checked)
    unseen = [(name, seen) for name, seen in found.not_seen if isinstance(seen, date)]
    never = [name for name, seen in found.not_seen if seen is None]
    notes = [renamed_slip(*each) for each in found.renamed_slips]
    notes += [not_seen_for(_MONTHS, unseen)] if unseen else []
    notes += [never_logged(never)] if never else []
    return shown(
        asked,
        "care_checked.html",
        findings=[problem_in_words(each) for each in found.findings],
        held=held_in_words(found.students, found.sheets, found.answers),
        checked=found,
        notes=notes,
        unseen=unseen,
    )


def _show_days(asked: Asked) -> None:
    """From now on days are shown as the club writes them, if its book can be opened."""
    with suppress(CoachbookError):
        asked.book()


def _backup(asked: Asked) -> OwnBackup:
    name = asked.text("backup")
    found = next((each for each in backups_of(asked.desk.book) if each.path.name == name), None)
    if found is None:
        raise CoachbookError("This backup is no longer there.", "Load the page again.")
    return found


@dataclass(frozen=True, slots=True)
class _ToldBackup:
    name: str
    on: date | None
    at: str
    why: str
    held: str


def _told(backup: OwnBackup) -> _ToldBackup:
    made, counts = backup.made, backup.counts
    held = held_in_words(counts.students, counts.sheets, counts.answers) if counts else ""
    on, at = (made.date(), f"{made:%H:%M}") if made else (None, "")
    return _ToldBackup(backup.path.name, on, at, why_backed_up(backup.why), held)


PAGES = (
    Page(_HERE, show),
    Page(f"{_HERE}/backup", back_up, "POST"),
    Page(f"{_HERE}/copy", copy),
    Page(f"{_HERE}/look", look, "POST"),
    Page(f"{_HERE}/backup/{{key}}", ask),
    Page(f"{_HERE}/backup/{{key}}", restore, "POST"),
    Page(f"{_HERE}/brought-back/{{key}}", brought_back),
    Page(f"{_HERE}/check", check, "POST"),
    Page(f"{_HERE}/checked/{{key}}", checked),
)

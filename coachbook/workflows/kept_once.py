"""What a touch on a screen says is kept once, however often the screen sends it."""

from collections.abc import Callable
from dataclasses import dataclass
from datetime import datetime

from coachbook.club.book import Book, Writing
from coachbook.club.touches import is_kept, remember
from coachbook.workflows.care import before_logging


@dataclass(frozen=True, slots=True)
class Touch:
    """What a screen sent: its own number, and when it came."""

    code: str
    at: datetime


def keep_once(book: Book, touch: Touch, keep: Callable[[Writing], object]) -> None:
    """Keep what a touch says, unless it is in the book already: both in one transaction. Raises what `keep`
    raises, and CoachbookError if the backup of the day cannot be made; then nothing is kept."""
    before_logging(book, touch.at)
    with book.writing() as tx:
        if not is_kept(tx, touch.code):
            keep(tx)
            remember(tx, touch.code, touch.at)

"""Doing something in the book to see what comes of it, and undoing all of it."""

from collections.abc import Iterator
from contextlib import contextmanager, suppress

from coachbook.club.book import Book, Writing


class _Over(Exception):  # noqa: N818 - no error: it ends a rehearsal
    """Ends a rehearsal: the transaction that it leaves is rolled back."""


@contextmanager
def rehearsing(book: Book) -> Iterator[Writing]:
    """A transaction to write in of which nothing is kept: what comes out in it is exactly what would be
    kept, for nothing is worked out twice. Raises CoachbookError if the file cannot be used."""
    with suppress(_Over), book.writing() as page:
        yield page
        raise _Over

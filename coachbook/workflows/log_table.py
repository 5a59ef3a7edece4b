"""Answers out of the book as a table, for a spreadsheet; the same table can be read in again."""

from datetime import date
from pathlib import Path

from coachbook.club.book import Book
from coachbook.club.results import answers
from coachbook.paper.page import put_in_place
from coachbook.workflows.cells import table_text

COLUMNS = ("student", "sheet", "item", "answer", "date", "right", "slip")


def write_answers(
    book: Book, path: Path, *, group: str | None, student: str | None, since: date | None, until: date | None
) -> int:
    """Write the answers of a group, a student or all, between two dates, as CSV: how many there are.

    Raises CoachbookError for an unknown name, or if the file cannot be written; then there is none.
    """
    with book.reading() as page:
        found = [
            result
            for result in answers(page, group=group, student=student, until=until)
            if since is None or result.on >= since
        ]
    rows = [
        (each.student, each.sheet, each.item, each.written, each.on, "yes" if each.right else "no", each.slip)
        for each in found
    ]
    put_in_place(path, table_text([COLUMNS, *rows]).encode())
    return len(found)

"""Who needs review, and why."""

from collections import defaultdict
from datetime import date

from coachbook.club.book import Book
from coachbook.club.results import answers
from coachbook.model.club import ItemResult
from coachbook.model.progress import ReviewAdvice
from coachbook.model.syllabus import Syllabus
from coachbook.progress.advice import review_advice


def who_needs_review(book: Book, syllabus: Syllabus, group: str | None, on: date) -> tuple[ReviewAdvice, ...]:
    """The students of a group (or of the club) who need review on a day, most urgent first.

    Raises CoachbookError for an unknown group.
    """
    results: dict[str, list[ItemResult]] = defaultdict(list)
    with book.reading() as page:
        for result in answers(page, group=group, until=on):
            results[result.student].append(result)
    return review_advice(syllabus, results, on)

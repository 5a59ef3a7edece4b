"""Logging an evening: who was there and what was answered; and the log as a list."""

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from datetime import date, datetime

from coachbook.club.book import Book
from coachbook.club.log import last_entries, log_answers, log_attendance
from coachbook.club.log_groups import groups_of_entries
from coachbook.errors import CoachbookError
from coachbook.exercises.mark import Mark, mark_answer
from coachbook.model.club import Attendance, ItemResult, LogEntry
from coachbook.model.slips import tell_slips
from coachbook.model.worksheet import Worksheet
from coachbook.workflows.care import before_logging

GivenSheet = tuple[Worksheet, tuple[str, ...]]
"""A sheet and the students who were given it."""

TICK, CROSS = "\u2713", "\u2717"
"""Written in place of an answer that the coach has marked on paper."""

_LEFT_BLANK = re.compile(r"[\N{HYPHEN}-\N{EM DASH}\N{MINUS SIGN}-]+")
"""A dash means the same wherever a coach types it; that there is no such move is told in a word."""

_COACHS_MARKS = {TICK: Mark(True), CROSS: Mark(False)}


@dataclass(frozen=True, slots=True)
class ListedEntry:
    """An entry of the log, and the `group` that all its students are in, "" if that is not one."""

    id: int
    what: str
    group: str
    logged_at: datetime


@dataclass(frozen=True, slots=True)
class Tally:
    """How a student did: `right` of `tried` answers, and the slips in words."""

    student: str
    right: int
    tried: int
    slips: str


def tally(results: tuple[ItemResult, ...]) -> tuple[Tally, ...]:
    """How each student did, in the order in which they come first."""
    return tuple(
        Tally(name, sum(r.right for r in own), len(own), tell_slips(r.slip for r in own if r.slip))
        for name in dict.fromkeys(result.student for result in results)
        for own in [[result for result in results if result.student == name]]
    )


def mark_sheet(
    sheet: Worksheet, student: str, written: Mapping[int, str], on: date, letters: str = ""
) -> tuple[ItemResult, ...]:
    """Mark what a student wrote, by item number (from 1), perhaps with the club's own `letters`.

    A tick or a cross is the coach's own mark, a dash stands for what was left blank. Raises
    CoachbookError if there is no such item, or for a day on which there was no such sheet.
    """
    check_made(sheet, on)
    results = []
    for item, text in sorted(written.items()):
        if not 1 <= item <= len(sheet.items):
            raise CoachbookError(
                f"Sheet {sheet.code} has no item {item}.", f"Its items are 1 to {len(sheet.items)}."
            )
        exercise, text = sheet.items[item - 1], text.strip()
        text = "" if _LEFT_BLANK.fullmatch(text) else text
        mark = _COACHS_MARKS.get(text) or mark_answer(exercise, text, letters or None)
        results.append(ItemResult(student, sheet.code, exercise.unit, item, on, text, mark.right, mark.slip))
    return tuple(results)


def check_made(sheet: Worksheet, on: date) -> None:
    """Raises CoachbookError for a day on which there was no such sheet."""
    if on < sheet.made_on:
        raise CoachbookError(
            f"Sheet {sheet.code} was made on {sheet.made_on}: nobody answered it on {on}.", "Check the date."
        )


def keep_answers(book: Book, results: tuple[ItemResult, ...], now: datetime) -> LogEntry:
    """Log marked answers as one entry, told with its evenings. Raises CoachbookError."""
    before_logging(book, now)
    with book.writing() as page:
        entry = log_answers(page, results, now)
    return replace(entry, what=f"{entry.what}, {evenings_in_words(each.on for each in results)}")


def evenings_in_words(days: Iterable[date]) -> str:
    """Such as "evening of 2027-01-12" or "12 evenings from 2027-01-12 to 2027-03-30"; of at least one."""
    first, *more = sorted(set(days))
    if not more:
        return f"evening of {first}"
    if len(more) == 1:
        return f"evenings of {first} and {more[0]}"
    return f"{len(more) + 1} evenings from {first} to {more[-1]}"


def keep_attendance(book: Book, present: Mapping[str, bool], on: date, now: datetime) -> LogEntry:
    """Log who was there as one entry. Raises CoachbookError."""
    before_logging(book, now)
    with book.writing() as page:
        return log_attendance(page, [Attendance(name, on, here) for name, here in present.items()], now)


def list_log(book: Book, count: int) -> list[ListedEntry]:
    """The newest entries of the log, the last one first. Raises CoachbookError for fewer than one."""
    if count < 1:
        raise CoachbookError(f"{count} entries cannot be listed.", "Ask for 1 or more.")
    with book.reading() as page:
        entries = last_entries(page, count)
        groups = groups_of_entries(page, entries[-1].id) if entries else {}
    return [ListedEntry(each.id, each.what, groups.get(each.id, ""), each.logged_at) for each in entries]

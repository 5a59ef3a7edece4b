"""Checking the whole book: that it can be read back, and that what follows from the facts is right."""

from calendar import monthrange
from collections import Counter
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from datetime import date
from pathlib import Path

from coachbook.club.backup import own_backups
from coachbook.club.book import Book, Reading
from coachbook.club.check import Finding, StoredSheet, check_facts, check_file, count, stored_sheets
from coachbook.club.draft import DraftLine, read_draft
from coachbook.club.played import play_outs
from coachbook.club.retention import last_seen
from coachbook.club.soundness import find_damaged_text, find_fault_of_backup
from coachbook.errors import CoachbookError
from coachbook.exercises.choices import is_doubtful_number
from coachbook.exercises.intact import find_damage
from coachbook.exercises.mark import Mark, mark_answer
from coachbook.exercises.verify import check_exercise
from coachbook.model.club import ItemResult
from coachbook.model.exercise import Exercise
from coachbook.model.problem import Problem
from coachbook.workflows.evening import CROSS, TICK
from coachbook.workflows.played_again import play_out_faults

Progress = Callable[[int, int, str], None]
"""Called with how much is done, of how much, and what is next."""

_BRING_BACK = "bring back a backup with 'coachbook restore NAME'"


@dataclass(frozen=True, slots=True)
class Checked:
    """What was looked at, what is wrong, and what is no fault but good to know: answers that would
    be called by another slip today (old, new, how many), students not seen for long (name, date; None
    for one of whom nothing was ever logged), what was typed and not kept, and sheets of coachbook 0.1.0
    that would not be made so today (code and the first reason)."""

    students: int
    sheets: int
    answers: int
    backups: int
    findings: tuple[Problem, ...]
    renamed_slips: tuple[tuple[str, str, int], ...]
    not_seen: tuple[tuple[str, date | None], ...]
    typed: tuple[DraftLine, ...] = ()
    outdated: tuple[tuple[str, str], ...] = ()


def check_book(book: Book, on: date, months: int, progress: Progress) -> Checked:
    """Check the book and its backups; list who was not seen in the `months` before a day.

    Raises CoachbookError for a number of months that is none, and if the book cannot be read.
    """
    since = _months_before(on, months)
    with book.reading() as page:
        damage = check_file(page)
        if damage:
            return Checked(0, 0, 0, 0, _problems(book, damage), (), ())
        counts, backups = count(page), own_backups(book.path)
        findings = check_facts(page)
        findings += _play_again(page)
        slips, outdated = Counter[tuple[str, str]](), list[tuple[str, str]]()
        for done, sheet in enumerate(stored_sheets(page)):
            progress(done, counts.sheets + len(backups), f"sheet {sheet.code}")
            findings += sheet.findings
            findings += _mark_again(sheet, book.letters, slips)
            damage = list(_damage_in(sheet))
            findings += damage
            outdated += [] if damage else _outdated(sheet)
        not_seen = _not_seen(page, since)
    for done, backup in enumerate(backups, start=counts.sheets):
        progress(done, counts.sheets + len(backups), backup.name)
        findings += _check_backup(backup)
    return Checked(
        counts.students,
        counts.sheets,
        counts.answers,
        len(backups),
        _problems(book, findings),
        tuple((old, new, number) for (old, new), number in sorted(slips.items())),
        not_seen,
        read_draft(book.path),
        outdated=tuple(outdated),
    )


def _check_backup(backup: Path) -> list[Finding]:
    try:
        fault = find_fault_of_backup(backup)
        damaged = None if fault else find_damaged_text(backup)
    except CoachbookError as error:
        return [(f"backup {backup.name}", error.message)]
    if damaged:
        return [(f"backup {backup.name}", f"holds {damaged}; all else in it is whole")]
    return [(f"backup {backup.name}", f"{fault}; make a new one, and delete this")] if fault else []


def _play_again(page: Reading) -> list[Finding]:
    try:
        return list(play_out_faults(play_outs(page)))
    except (CoachbookError, ValueError):
        return []  # that they cannot be read back is told already


def _damage_in(sheet: StoredSheet) -> Iterator[Finding]:
    """Items of a sheet without a checksum that are no longer what they were."""
    for number, item in enumerate(_unsealed(sheet), start=1):
        damage = find_damage(item)
        if damage is not None:
            yield f"sheet {sheet.code}, item {number}", f"is damaged ({damage}); {_BRING_BACK}"


def _outdated(sheet: StoredSheet) -> Iterator[tuple[str, str]]:
    """A sheet without a checksum, and the first reason why the check of fresh exercises would not let it
    pass; nothing if there is none."""
    for item in _unsealed(sheet):
        try:
            check_exercise(item)
        except CoachbookError as error:
            yield sheet.code, error.message
            return


def _unsealed(sheet: StoredSheet) -> tuple[Exercise, ...]:
    return sheet.worksheet.items if sheet.worksheet and not sheet.has_checksum else ()


def _mark_again(sheet: StoredSheet, letters: str, slips: Counter[tuple[str, str]]) -> Iterator[Finding]:
    """Answers whose mark does not follow from the sheet; slips that have another name now are counted."""
    found = dict[tuple[int, str], tuple[Mark, ...]]()
    for answer in sheet.answers:
        if answer.written in (TICK, CROSS) and answer.right != (answer.written == TICK):
            kept = "right" if answer.right else "wrong"
            yield (
                f"sheet {sheet.code}, item {answer.item}",
                f"is ticked '{answer.written}', but kept as {kept}; log it again",
            )
        items = sheet.worksheet.items[answer.item - 1 : answer.item] if sheet.worksheet else ()
        if not items or answer.written in (TICK, CROSS) or is_doubtful_number(items[0], answer.written):
            continue  # an item that is missing is told of the whole sheet
        try:
            asked = answer.item, answer.written
            marks = found[asked] = found.get(asked) or _marks(items[0], answer.written, letters)
        except ValueError as error:
            yield f"sheet {sheet.code}, item {answer.item}", f"cannot be marked ({error})"
            continue
        if answer.right not in {mark.right for mark in marks}:
            yield f"sheet {sheet.code}, item {answer.item}", _told(answer, items[0])
        elif Mark(answer.right, answer.slip) not in marks:
            slips[answer.slip, next(mark.slip for mark in marks if not mark.right)] += 1


def _marks(exercise: Exercise, written: str, letters: str) -> tuple[Mark, ...]:
    """The mark with the club's letters, and with English ones: the club's may have changed since."""
    english = mark_answer(exercise, written)
    return (mark_answer(exercise, written, letters), english) if letters else (english,)


def _told(answer: ItemResult, exercise: Exercise) -> str:
    kept, found = ("right", "wrong") if answer.right else ("wrong", "right")
    accepted = ", ".join(exercise.answer.accepted) or "none"
    return (
        f"the answer '{answer.written}' of {answer.student} on {answer.on} is kept as {kept}, but it is"
        f" {found} (the key: {accepted}); log it again"
    )


def _not_seen(page: Reading, since: date) -> tuple[tuple[str, date | None], ...]:
    return tuple((name, seen) for name, seen in last_seen(page).items() if seen is None or seen < since)


def _months_before(day: date, months: int) -> date:
    """The same day of an earlier month, or that month's last."""
    if not 1 <= months <= 1200:
        raise CoachbookError(f"{months} months is no time to keep data.", "Ask for 1 to 1200.")
    year, month = divmod(day.year * 12 + day.month - 1 - months, 12)
    return date(year, month + 1, min(day.day, monthrange(year, month + 1)[1]))


def _problems(book: Book, findings: list[Finding]) -> tuple[Problem, ...]:
    return tuple(Problem(book.path.name, where, told) for where, told in findings)

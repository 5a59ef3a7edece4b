"""Checking the whole book: that it can be read back, and that what follows from the facts is right."""

from calendar import monthrange
from collections import Counter
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass
from datetime import date
from pathlib import Path

import chess

from coachbook.club.backup import own_backups
from coachbook.club.book import Book, Reading
from coachbook.club.book_check import Finding, StoredSheet, check_facts, check_file, count, stored_sheets
from coachbook.club.draft import DraftLine, read_draft
from coachbook.club.results import last_seen, play_outs
from coachbook.club.soundness import find_damaged_text, find_fault_of_backup
from coachbook.errors import Advice, CoachbookError, Step
from coachbook.exercises.answers_read import is_doubtful_number
from coachbook.exercises.marking import Mark, mark_answer
from coachbook.exercises.verify import find_damage, find_fault
from coachbook.model.facts import ItemResult, PlayOutEnd, PlayOutResult, Slip, slip_family
from coachbook.model.problem import Problem
from coachbook.model.worksheet import Exercise
from coachbook.wording.counting import shown_day
from coachbook.wording.exercises import accepted_words
from coachbook.workflows.evening_log import CROSS, TICK


def play_out_faults(results: Iterable[PlayOutResult]) -> Iterator[tuple[str, str]]:
    """For each play-out that cannot have been: whose and when, and what is wrong. It is to be taken back."""
    for result in results:
        fault = next(_faults(result), None)
        if fault is not None:
            where = f"the play-out of {result.student} on {shown_day(result.on)}"
            yield where, fault


def _faults(result: PlayOutResult) -> Iterator[str]:
    """Each check may rely on those before it: only the first fault counts."""
    try:
        board = chess.Board(result.fen)
    except ValueError:
        yield "its position cannot be read"
        return
    if not board.is_valid():
        yield "its position is not legal"
    if result.slip and slip_family(result.slip) not in set(Slip):
        yield f"its slip '{result.slip}' is not a slip that coachbook knows"
    if not result.moves:
        return
    student = board.turn
    for number, uci in enumerate(result.moves, start=1):
        move = _read(uci)
        if move is None or move not in board.legal_moves:
            yield f"its half-move {number}, '{uci}', is not legal"
            return
        board.push(move)
    if result.used != (len(result.moves) + 1) // 2:
        yield f"it says {result.used} moves of the student, but lists {(len(result.moves) + 1) // 2}"
    yield from _end_faults(board, student, result.end)


def _end_faults(board: chess.Board, student: chess.Color, end: PlayOutEnd) -> Iterator[str]:
    """A mate and a stalemate can be seen on the board; other ends are what the coach said."""
    seen = None
    if board.is_checkmate():
        seen = PlayOutEnd.LOST if board.turn == student else PlayOutEnd.MATE
    elif board.is_stalemate():
        seen = PlayOutEnd.STALEMATE
    if seen is not None and end is not seen:
        yield f"it is kept as '{end}', but ends with '{seen}'"
    if seen is None and end in (PlayOutEnd.MATE, PlayOutEnd.STALEMATE):
        yield f"it is kept as '{end}', but does not end so"


def _read(uci: str) -> chess.Move | None:
    try:
        return chess.Move.from_uci(uci)
    except ValueError:
        return None


Progress = Callable[[int, int, str], None]
"""Called with how much is done, of how much, and what is next."""


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
    with book.reading() as tx:
        damage = check_file(tx)
        if damage:
            return Checked(0, 0, 0, 0, _problems(book, damage), (), ())
        counts, backups = count(tx), own_backups(book.path)
        findings = list(_problems(book, check_facts(tx)))
        findings += _problems(book, _play_again(tx), Advice(Step.UNDO_AND_LOG_AGAIN))
        slips, outdated = Counter[tuple[str, str]](), list[tuple[str, str]]()
        for done, sheet in enumerate(stored_sheets(tx)):
            progress(done, counts.sheets + len(backups), f"sheet {sheet.code}")
            findings += _problems(book, sheet.findings)
            findings += _problems(book, _mark_again(sheet, book.letters, slips))
            damage = list(_damage_in(sheet))
            findings += _problems(book, damage, Advice(Step.RESTORE_A_BACKUP))
            outdated += [] if damage else _outdated(sheet)
        not_seen = _not_seen(tx, since)
    for done, backup in enumerate(backups, start=counts.sheets):
        progress(done, counts.sheets + len(backups), backup.name)
        findings += _problems(book, _check_backup(backup))
    return Checked(
        counts.students,
        counts.sheets,
        counts.answers,
        len(backups),
        tuple(findings),
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


def _play_again(tx: Reading) -> list[Finding]:
    try:
        return list(play_out_faults(play_outs(tx)))
    except (CoachbookError, ValueError):
        return []  # that they cannot be read back is among the findings already


def _damage_in(sheet: StoredSheet) -> Iterator[Finding]:
    """Items of a sheet without a checksum that are no longer what they were."""
    for number, item in enumerate(_unsealed(sheet), start=1):
        damage = find_damage(item)
        if damage is not None:
            yield f"sheet {sheet.code}, item {number}", f"is damaged ({damage})"


def _outdated(sheet: StoredSheet) -> Iterator[tuple[str, str]]:
    """A sheet without a checksum, and the first reason why the check of fresh exercises would not let it
    pass; nothing if there is none."""
    for item in _unsealed(sheet):
        fault = find_fault(item)
        if fault is not None:
            yield sheet.code, f"The exercise {item.kind} in '{item.position.fen}' is wrong: {fault}."
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
            continue  # an item that is missing is a finding of the whole sheet
        try:
            asked = answer.item, answer.written
            marks = found[asked] = found.get(asked) or _marks(items[0], answer.written, letters)
        except ValueError as error:
            yield f"sheet {sheet.code}, item {answer.item}", f"cannot be marked ({error})"
            continue
        if answer.right not in {mark.right for mark in marks}:
            yield f"sheet {sheet.code}, item {answer.item}", _answer_fault(answer, items[0])
        elif Mark(answer.right, answer.slip) not in marks:
            slips[answer.slip, next(mark.slip for mark in marks if not mark.right)] += 1


def _marks(exercise: Exercise, written: str, letters: str) -> tuple[Mark, ...]:
    """The mark with the club's letters, and with English ones: the club's may have changed since."""
    english = mark_answer(exercise, written)
    return (mark_answer(exercise, written, letters), english) if letters else (english,)


def _answer_fault(answer: ItemResult, exercise: Exercise) -> str:
    kept, found = ("right", "wrong") if answer.right else ("wrong", "right")
    accepted = ", ".join(accepted_words(exercise.answer)) or "none"
    return (
        f"the answer '{answer.written}' of {answer.student} on {shown_day(answer.on)} is kept as {kept},"
        f" but it is {found} (the key: {accepted}); log it again"
    )


def _not_seen(tx: Reading, since: date) -> tuple[tuple[str, date | None], ...]:
    return tuple((name, seen) for name, seen in last_seen(tx).items() if seen is None or seen < since)


def _months_before(day: date, months: int) -> date:
    """The same day of an earlier month, or that month's last."""
    if not 1 <= months <= 1200:
        raise CoachbookError(f"The number of months cannot be {months}.", "Give 1 to 1200.")
    year, month = divmod(day.year * 12 + day.month - 1 - months, 12)
    return date(year, month + 1, min(day.day, monthrange(year, month + 1)[1]))


def _problems(book: Book, findings: Iterable[Finding], advice: Advice | None = None) -> tuple[Problem, ...]:
    return tuple(Problem(book.path.name, where, what, advice) for where, what in findings)

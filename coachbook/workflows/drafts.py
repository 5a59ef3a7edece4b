"""What a coach has typed and not kept: put aside line by line, and found again."""

from collections.abc import Collection, Iterable, Mapping, Sequence
from datetime import date

from coachbook.club.book import Book
from coachbook.club.draft import DraftLine, Typed, read_draft, write_draft
from coachbook.club.results import answers
from coachbook.club.students import student_named

Written = Mapping[int, str]
"""What a student wrote, by item."""


def put_aside(book: Book, line: DraftLine) -> None:
    """Keep a line outside the book, in place of an earlier one about the same. Raises CoachbookError."""
    others = [each for each in read_draft(book.path) if each.key != line.key]
    write_draft(book.path, [*others, line])


def forget(book: Book, lines: Iterable[DraftLine]) -> None:
    """Take lines out of what was put aside: they are kept, or not wanted. Raises CoachbookError."""
    keys, there = {line.key for line in lines}, read_draft(book.path)
    left = [each for each in there if each.key not in keys]
    if len(left) < len(there):
        write_draft(book.path, left)


def answers_aside(book: Book, given: Collection[tuple[str, str]]) -> tuple[DraftLine, ...]:
    """The answers put aside of these students' sheets (by name and code). Lines of which the log says the
    same are forgotten: a program was killed between keeping and forgetting. Raises CoachbookError."""
    lines = [line for line in read_draft(book.path) if line.what is Typed.ANSWERS]
    lines = [line for line in lines if (line.student, line.about) in given]
    kept = [line for line in lines if _is_logged(book, line)]
    forget(book, kept)
    return tuple(line for line in lines if line not in kept)


def evening_aside(book: Book, on: date, groups: Collection[str]) -> tuple[DraftLine, ...]:
    """Who was absent, the play-outs and the notes put aside of an evening of these groups. Raises
    CoachbookError."""
    lines = [line for line in read_draft(book.path) if line.what is not Typed.ANSWERS]
    return tuple(line for line in lines if line.on == on and line.about in groups)


def play_out_line(book: Book, student: str, card: str, told: str, on: date) -> DraftLine:
    """How a student's play-out of a card went, to be put aside; `told` may be "". Raises CoachbookError."""
    with book.reading() as page:
        groups = student_named(page, student).groups
    text = f"{student} {card} {told}"
    return DraftLine(Typed.PLAY_OUT, on, groups[0] if groups else "", student, text=text)


def play_outs_aside(book: Book, begun: DraftLine) -> dict[str, DraftLine]:
    """Those put aside that begin as a line does: by how they went. Raises CoachbookError."""
    found = [line for line in read_draft(book.path) if line.key[:3] == begun.key[:3]]
    return {line.text.removeprefix(begun.text): line for line in found if line.text.startswith(begun.text)}


def logged_answers(book: Book, student: str, sheet: str) -> Written:
    """What is logged of a student's sheet. Raises CoachbookError."""
    with book.reading() as page:
        return {each.item: each.written for each in answers(page, student=student) if each.sheet == sheet}


def counted_lines(lines: Sequence[DraftLine]) -> str:
    """How many lines of which evenings: "11 lines of 2027-01-12"."""
    number = "1 line" if len(lines) == 1 else f"{len(lines)} lines"
    return f"{number} of {' and '.join(map(str, sorted({line.on for line in lines})))}"


def told_waiting(lines: Sequence[DraftLine]) -> str:
    """That lines wait to be kept, and the commands that go on with them (two, where there are more)."""
    commands = list(dict.fromkeys(map(_offered_by, lines)))
    shown = ", ".join([*commands[:2], *(["..."] if commands[2:] else [])])
    return f"{counted_lines(lines)} typed and not kept; to go on: {shown}"


def others_aside(book: Book, lines: Iterable[DraftLine]) -> tuple[DraftLine, ...]:
    """What else is put aside. Raises CoachbookError."""
    keys = {line.key for line in lines}
    return tuple(each for each in read_draft(book.path) if each.key not in keys)


def _offered_by(line: DraftLine) -> str:
    if line.what is Typed.ANSWERS:
        return f"coachbook log answers {line.about}"
    return f"coachbook evening close {line.on}"


def _is_logged(book: Book, line: DraftLine) -> bool:
    return set(line.written) <= logged_answers(book, line.student, line.about).items()

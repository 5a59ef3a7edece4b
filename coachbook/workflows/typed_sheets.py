"""A student's sheet while it is typed in, as a value; and what was typed and not kept, put aside."""

from collections.abc import Collection, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import date

from coachbook.club.book import Book
from coachbook.club.draft import DraftLine, Typed, read_draft, write_draft
from coachbook.club.results import answers
from coachbook.club.students import student_named
from coachbook.errors import Advice, InWords, Step
from coachbook.model.facts import Doubt, ItemResult
from coachbook.model.worksheet import Worksheet
from coachbook.workflows.evening_log import GivenSheet, check_made, mark_sheet
from coachbook.workflows.evening_to_log import Days

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


def told_waiting(lines: Sequence[DraftLine], in_words: InWords) -> str:
    """That lines wait to be kept, and the steps that go on with them (two, where there are more)."""
    steps = list(dict.fromkeys(in_words(_offered_by(line)) for line in lines))
    shown = ", ".join([*steps[:2], *(["..."] if steps[2:] else [])])
    return f"{counted_lines(lines)} typed and not kept; to go on: {shown}"


def others_aside(book: Book, lines: Iterable[DraftLine]) -> tuple[DraftLine, ...]:
    """What else is put aside. Raises CoachbookError."""
    keys = {line.key for line in lines}
    return tuple(each for each in read_draft(book.path) if each.key not in keys)


def _offered_by(line: DraftLine) -> Advice:
    if line.what is Typed.ANSWERS:
        return Advice(Step.LOG_ANSWERS, {"sheet": line.about})
    return Advice(Step.CLOSE_THE_EVENING, {"on": str(line.on)})


def _is_logged(book: Book, line: DraftLine) -> bool:
    return set(line.written) <= logged_answers(book, line.student, line.about).items()


@dataclass(frozen=True, slots=True)
class TypedSheet:
    """A student's sheet of an evening: what is `logged` of it, and the `results` of what was typed.

    `missing` are its items if only these are to be typed; `is_seen` says whether the coach was there.
    """

    student: str
    sheet: Worksheet
    on: date
    missing: tuple[int, ...] = ()
    logged: Written = field(default_factory=dict)
    results: tuple[ItemResult, ...] = ()
    is_seen: bool = False

    @property
    def key(self) -> tuple[str, str]:
        return self.student, self.sheet.code

    @property
    def typed(self) -> dict[int, str]:
        """What was typed, by item."""
        return {result.item: result.written for result in self.results}

    @property
    def draft(self) -> DraftLine:
        """What was typed, to be put aside."""
        return DraftLine(Typed.ANSWERS, self.on, self.sheet.code, self.student, tuple(self.typed.items()))

    def with_line(self, results: Sequence[ItemResult]) -> "TypedSheet":
        """The same after a line: it says something new of its own items, and nothing of the others."""
        by_item = {each.item: each for each in (*self.results, *results)}
        return replace(self, results=tuple(by_item[item] for item in sorted(by_item)), is_seen=True)

    def emptied(self) -> "TypedSheet":
        """The same with nothing typed."""
        return replace(self, results=(), is_seen=True)

    def resumed(self, line: DraftLine, letters: str, *, dated: bool) -> "TypedSheet":
        """The same with what was put aside; for the evening that was told then, unless another one is told
        now. Raises CoachbookError if that does not fit the sheet."""
        on = self.on if dated else line.on
        results = mark_sheet(self.sheet, self.student, dict(line.written), on, letters)
        return replace(self, on=on).with_line(results)


def sheets_to_type(
    book: Book,
    given: Sequence[GivenSheet],
    on: date | None,
    today: date,
    missing: Mapping[tuple[str, str], tuple[int, ...]] | None = None,
) -> tuple[TypedSheet, ...]:
    """The sheets of students, for an evening, or each for its own one (see `Days.evening_of`); `missing`
    are the items to type of a student's sheet (by name and code), where others are logged.

    Raises CoachbookError for an evening before a sheet was made.
    """
    half, found = missing or {}, []
    with book.reading() as page:
        days = Days(page, today)
        for sheet, students in given:
            for student in students:
                day = on or days.evening_of(student, sheet)
                check_made(sheet, day)
                items = half.get((student, sheet.code), ())
                logged = logged_answers(book, student, sheet.code)
                found.append(TypedSheet(student, sheet, day, items, logged))
    return tuple(found)


def with_drafts(
    sheets: Sequence[TypedSheet], lines: Iterable[DraftLine], letters: str, *, dated: bool
) -> tuple[TypedSheet, ...]:
    """The sheets with what was put aside of them (see `TypedSheet.resumed`). Raises CoachbookError."""
    by_key = {(line.student, line.about): line for line in lines}
    return tuple(
        each.resumed(by_key[each.key], letters, dated=dated) if each.key in by_key else each
        for each in sheets
    )


def doubt_of_sheets(book: Book, sheets: Sequence[TypedSheet], today: date) -> Doubt | None:
    """The first thing that speaks against the evening of one of them. Raises CoachbookError."""
    with book.reading() as page:
        days = Days(page, today)
        found = (days.doubt_of_student(each.on, each.student) for each in sheets)
        return next((doubt for doubt in found if doubt), None)


def told_changes(before: Mapping[int, str], now: Mapping[int, str]) -> Iterator[str]:
    """What another answer stands for now than before, such as "Item 2: was Qb3, now Qa1."."""
    for item, written in now.items():
        if before.get(item, written) != written:
            yield f"Item {item}: was {before[item] or 'left blank'}, now {written or 'left blank'}."

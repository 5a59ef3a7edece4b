"""A student's sheet while it is typed in: what was typed so far is a value, and each line makes a new one."""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import date

from coachbook.club.book import Book
from coachbook.club.draft import DraftLine, Typed
from coachbook.model.club import ItemResult
from coachbook.model.worksheet import Worksheet
from coachbook.workflows.days import Days, Doubt
from coachbook.workflows.drafts import Written, logged_answers
from coachbook.workflows.evening import GivenSheet, check_made, mark_sheet


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

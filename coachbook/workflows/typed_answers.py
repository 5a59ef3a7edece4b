"""What a typed line means, and a student's sheet while it is typed in, put aside until it is kept."""

import re
import unicodedata
from collections.abc import Collection, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import date

from coachbook.club.book import Book
from coachbook.club.draft import DraftLine, Typed, read_draft, write_draft
from coachbook.club.results import answers
from coachbook.club.students import student_named
from coachbook.errors import Advice, CoachbookError, Step
from coachbook.exercises.marking import mark_answer
from coachbook.exercises.notation import Suggestion, suggest_letters
from coachbook.model.conversation import Say, Told, tell
from coachbook.model.facts import Doubt, ItemResult, Slip
from coachbook.model.worksheet import AnswerForm, Exercise, Worksheet
from coachbook.wording.counting import counted_off
from coachbook.wording.exercises import option_words
from coachbook.workflows.evening_log import CROSS, TICK, GivenSheet, check_made, mark_sheet
from coachbook.workflows.evening_to_log import Days
from coachbook.workflows.spreadsheet import LONGEST_FIELD

_NUMBERED = re.compile(r"(?P<item>[1-9][0-9]?)\s*:\s*(?P<answer>.*)")
_NEXT_NUMBERED = re.compile(r";|,(?=\s*[1-9][0-9]?\s*:)")
_COMMA = re.compile(r"\s*,\s*")
_SPACED_COMMA = re.compile(r"\s*,\s+")
_NO_MOVE = (Slip.UNREADABLE, Slip.ILLEGAL, Slip.MISREAD_SIDE)
_TICKS = {"1": TICK, "+": TICK, "v": TICK, "0": CROSS, "x": CROSS, "-": "", ".": ""}


def typed_answers(sheet: Worksheet, line: str, missing: Sequence[int] = ()) -> dict[int, str]:
    """Answers as typed in one line: in item order, parted by semicolons (the last ones may be left out),
    or by spaces or commas if there is one for each item; or some items by their numbers
    ("3: Qe5; 5: 9"). Where only some items are `missing`, one answer for each of these will do.

    Raises CoachbookError for more answers than items, where it is not plain which is which, and for
    what a table of answers could not hold.
    """
    answers = _by_number(line) or _in_order(sheet, line, missing)
    for answer in answers.values():
        check_typed(answer)
    return answers


def left_out(sheet: Worksheet, line: str, answers: Mapping[int, str]) -> tuple[int, ...]:
    """The last items, of which a line says nothing though it doesn't tell items by their numbers."""
    if _by_number(line):
        return ()
    return tuple(range(len(answers) + 1, len(sheet.items) + 1))


def check_typed(answer: str) -> None:
    """Raises CoachbookError for an answer that a table of answers could not hold."""
    if len(answer) > LONGEST_FIELD:
        raise CoachbookError(f"An answer has more than {LONGEST_FIELD} characters.", "Shorten it.")
    if any(unicodedata.category(sign) == "Cc" for sign in answer):
        raise CoachbookError("There is a control character in the line.", "Type it again.")


def typed_ticks(sheet: Worksheet, line: str, missing: Sequence[int] = ()) -> dict[int, str]:
    """Ticks and crosses as typed, one sign an item: 1 right, 0 wrong, - left blank; "=" for all right; or
    some items by their numbers ("3: 1; 5: 0"). Where only some items are `missing`, these are meant by
    "=" or by one sign for each of them.

    Raises CoachbookError for another sign, or another number of them.
    """
    if numbered := _by_number(line):
        return {item: _tick(sign.lower()) for item, sign in numbered.items()}
    signs = "".join(line.lower().split())
    items = missing or range(1, len(sheet.items) + 1)
    if signs == "=":
        signs = "1" * len(items)
    marks = [_tick(sign) for sign in signs]
    if len(signs) == len(sheet.items):
        items = range(1, len(sheet.items) + 1)
    if len(signs) != len(items):
        raise CoachbookError(_unlike(sheet, len(signs), "mark", missing), "Type one for each.")
    return dict(zip(items, marks, strict=True))


def _tick(sign: str) -> str:
    """What a sign stands for. Raises CoachbookError for one that stands for nothing."""
    if sign not in _TICKS:
        raise CoachbookError(
            f"'{sign[:20]}' is not a mark.",
            "Type 1 for right, 0 for wrong, - for left blank; or = for all right.",
        )
    return _TICKS[sign]


def could_be(exercise: Exercise, written: str) -> tuple[str, ...]:
    """The options to tick that begin with what was written, if there are several; else ()."""
    begun = " ".join(written.casefold().split()).rstrip(".!").removeprefix("a ")
    options = tuple(
        words for words in map(option_words, exercise.answer.options) if words.casefold().startswith(begun)
    )
    return options if begun and len(options) > 1 else ()


def suggested_letters(sheet: Worksheet, results: Sequence[ItemResult]) -> Suggestion | None:
    """The letters of another language in which moves seem to be written that English ones don't make
    legal; None if there are none."""
    items = [(sheet.items[result.item - 1], result) for result in results if result.slip in _NO_MOVE]
    return suggest_letters(
        (exercise.position.fen, result.written)
        for exercise, result in items
        if exercise.answer.form is AnswerForm.MOVES
    )


def _by_number(line: str) -> dict[int, str]:
    """Answers with the numbers of their items before them; none if a part of the line has no number."""
    numbered = [_NUMBERED.fullmatch(_tidy(part)) for part in _NEXT_NUMBERED.split(line)]
    if not all(numbered):
        return {}
    return {int(match["item"]): match["answer"] for match in numbered if match}


def _in_order(sheet: Worksheet, line: str, missing: Sequence[int]) -> dict[int, str]:
    """One answer for each item, or for each missing one, or fewer parted by semicolons."""
    whole = range(1, len(sheet.items) + 1)
    # Words with spaces between may all belong to the one item that is missing.
    for items in (whole, missing) if len(missing) < 2 else (missing, whole):
        parts = _parted([sheet.items[item - 1] for item in items], line)
        if items and len(parts) == len(items):
            return dict(zip(items, parts, strict=True))
    parts = _parted(sheet.items, line)
    if len(parts) == 1:
        raise _unparted(sheet, line)
    if len(parts) > len(sheet.items) or missing:
        raise CoachbookError(_unlike(sheet, len(parts), "answer", missing))
    return dict(enumerate(parts if parts[-1] else parts[:-1], start=1))


def _unlike(sheet: Worksheet, count: int, what: str, missing: Sequence[int]) -> str:
    """That there is another number of them than items."""
    told = f"This is 1 {what}" if count == 1 else f"These are {count} {what}s"
    asked = (
        f"{counted_off('item', missing)} {'is' if len(missing) == 1 else 'are'} missing, and "
        if missing
        else ""
    )
    return f"{told}, but {asked}the sheet has {len(sheet.items)} items."


def _parted(exercises: Sequence[Exercise], line: str) -> list[str]:
    """The line parted by semicolons; without one, by spaces or commas if that gives each exercise one
    answer."""
    if ";" not in line and len(exercises) > 1:
        for parts in _divided(line):
            if len(parts) == len(exercises) and all(map(_is_one_answer, exercises, parts)):
                return parts
    return [_tidy(part) for part in line.split(";")]


def _unparted(sheet: Worksheet, line: str) -> CoachbookError:
    """That it is not plain which answer is which."""
    answers = line.replace(",", " ").split()
    between = "spaces and commas" if "," in line else "spaces"
    told = "is 1 answer" if len(answers) == 1 else f"are {len(answers)} answers"
    how = "Put semicolons between the answers"
    if len(answers) < len(sheet.items):
        how = "Type a dash for each that was left blank, or put semicolons between the answers"
    return CoachbookError(
        f"The sheet has {len(sheet.items)} items, but divided at {between} there {told}.",
        f"{how}, or give an item's number first, such as '3: Qe5'.",
    )


def _divided(line: str) -> Iterator[list[str]]:
    """The ways to part a line, the likeliest first. A comma without a space may stand inside an answer,
    between several moves."""
    yield [_tidy(word) for word in line.split()]
    yield _SPACED_COMMA.split(_tidy(line))
    yield _COMMA.split(_tidy(line))


def _is_one_answer(exercise: Exercise, part: str) -> bool:
    """Whether nothing in it could belong to the item before or after: one word, or an option's words; of a
    race all its parts, for a word is but one of them."""
    is_race = exercise.answer.form is AnswerForm.RACE
    if len(part.split()) < 2 and not (is_race and any(map(str.isalnum, part))):
        return True
    plain = is_race or exercise.answer.form in (AnswerForm.CHOICE, AnswerForm.NUMBER)
    return plain and mark_answer(exercise, part).slip != Slip.UNREADABLE


def _tidy(part: str) -> str:
    return part.strip().strip(",").strip()


Written = Mapping[int, str]
"""What a student wrote, by item."""


def put_aside(book: Book, line: DraftLine) -> None:
    """Keep a line outside the book, in place of an earlier one about the same. Raises CoachbookError if that
    cannot be written."""
    others = [each for each in read_draft(book.path) if each.key != line.key]
    write_draft(book.path, [*others, line])


def forget(book: Book, lines: Iterable[DraftLine]) -> None:
    """Take lines out of what was put aside: they are kept, or not wanted. Raises CoachbookError if
    that cannot be written."""
    keys, there = {line.key for line in lines}, read_draft(book.path)
    left = [each for each in there if each.key not in keys]
    if len(left) < len(there):
        write_draft(book.path, left)


def answers_aside(book: Book, given: Collection[tuple[str, str]]) -> tuple[DraftLine, ...]:
    """The answers put aside of these students' sheets (by name and code). Lines of which the log says the
    same are forgotten: a program was killed between keeping and forgetting."""
    lines = [line for line in read_draft(book.path) if line.what is Typed.ANSWERS]
    lines = [line for line in lines if (line.student, line.about) in given]
    kept = [line for line in lines if _is_logged(book, line)]
    forget(book, kept)
    return tuple(line for line in lines if line not in kept)


def evening_aside(book: Book, on: date, groups: Collection[str]) -> tuple[DraftLine, ...]:
    """Who was absent, the play-outs and the notes put aside of an evening of these groups."""
    lines = [line for line in read_draft(book.path) if line.what is not Typed.ANSWERS]
    return tuple(line for line in lines if line.on == on and line.about in groups)


def play_out_line(book: Book, student: str, card: str, told: str, on: date) -> DraftLine:
    """How a student's play-out of a card went, to be put aside; `told` may be "". Raises CoachbookError for
    an unknown student."""
    with book.reading() as tx:
        groups = student_named(tx, student).groups
    text = f"{student} {card} {told}"
    return DraftLine(Typed.PLAY_OUT, on, groups[0] if groups else "", student, text=text)


def play_outs_aside(book: Book, begun: DraftLine) -> dict[str, DraftLine]:
    """Those put aside that begin as a line does: by how they went."""
    found = [line for line in read_draft(book.path) if line.key[:3] == begun.key[:3]]
    return {line.text.removeprefix(begun.text): line for line in found if line.text.startswith(begun.text)}


def logged_answers(book: Book, student: str, sheet: str) -> Written:
    """What is logged of a student's sheet. Raises CoachbookError for an unknown student."""
    with book.reading() as tx:
        return {each.item: each.written for each in answers(tx, student=student) if each.sheet == sheet}


def goes_on_with(line: DraftLine) -> Advice:
    """The step that goes on with a line that was put aside."""
    if line.what is Typed.ANSWERS:
        return Advice(Step.LOG_ANSWERS, {"sheet": line.about})
    return Advice(Step.CLOSE_THE_EVENING, {"on": str(line.on)})


def others_aside(book: Book, lines: Iterable[DraftLine]) -> tuple[DraftLine, ...]:
    """What else is put aside."""
    keys = {line.key for line in lines}
    return tuple(each for each in read_draft(book.path) if each.key not in keys)


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
    with book.reading() as tx:
        days = Days(tx, today)
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
    """The sheets with what was put aside of them (see `TypedSheet.resumed`)."""
    by_key = {(line.student, line.about): line for line in lines}
    return tuple(
        each.resumed(by_key[each.key], letters, dated=dated) if each.key in by_key else each
        for each in sheets
    )


def doubt_of_sheets(book: Book, sheets: Sequence[TypedSheet], today: date) -> Doubt | None:
    """The first thing that speaks against the evening of one of them."""
    with book.reading() as tx:
        days = Days(tx, today)
        found = (days.doubt_of_student(each.on, each.student) for each in sheets)
        return next((doubt for doubt in found if doubt), None)


def changes(before: Mapping[int, str], now: Mapping[int, str]) -> tuple[Told, ...]:
    """The items for which something else is written now than before."""
    return tuple(
        tell(Say.WAS, item=item, before=before[item], now=written)
        for item, written in now.items()
        if before.get(item, written) != written
    )

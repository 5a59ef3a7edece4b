"""Counts the keys that a coach presses to log an evening: `python -m tests.bench.keystrokes`.

Twelve students, each with a sheet of their own of six items of different units, as `evening close` or
`log answers` asks for them. Every answer is typed as short as coachbook reads it without doubt: moves without
signs for check and mate, and by their square alone where one man only can go there, choices by their number,
one word for each item with spaces between. Enter counts as a key, and so does the last yes. Prints the
figures and puts them into RESULTS.md beside this file.
"""

import sys
import tempfile
from dataclasses import dataclass
from datetime import date
from pathlib import Path

from coachbook.club.book import create_book
from coachbook.club.students import add_student
from coachbook.exercises.marking import mark_answer
from coachbook.model.print_options import PaperOptions
from coachbook.model.worksheet import AnswerForm, Exercise
from coachbook.workflows.printed_sheets import make_sheets
from coachbook.workflows.sheet_making import SheetRequest
from coachbook.workflows.standings import load_syllabus
from tests.bench.endgame import Row, as_markdown, put_section

TITLE = "# Keys to log an evening"
UNITS = ("mate-or-stalemate", "mate-in-one", "queen-box", "rook-box")
STUDENTS_A_UNIT, ITEMS = 3, 6
DAY = date(2026, 9, 10)
_MEN = str.maketrans("", "", "KQRBN")
KEYS_A_MINUTE = 200
"""A coach with two fingers; common practice, no source."""


@dataclass(frozen=True, slots=True)
class Evening:
    """A book with twelve sheets, and the lines to type, in the order in which they are asked for."""

    book: Path
    lines: tuple[str, ...]
    ticks: tuple[str, ...]

    @property
    def keys(self) -> int:
        return _keys(self.lines)

    @property
    def tick_keys(self) -> int:
        return _keys(self.ticks)


def an_evening(folder: Path) -> Evening:
    """Twelve sheets of right answers; ticks are typed for half of them right, half one by one."""
    syllabus, book = load_syllabus(), create_book(folder / "club.book", "Harbour Lane")
    names = [f"Student {number:02}" for number in range(1, STUDENTS_A_UNIT * len(UNITS) + 1)]
    with book.writing() as page:
        for name in names:
            add_student(page, name)
    lines = {}
    for number, code in enumerate(UNITS):
        own = tuple(names[number * STUDENTS_A_UNIT : (number + 1) * STUDENTS_A_UNIT])
        request = SheetRequest(syllabus.unit(code), own, ITEMS, 1, DAY, personal=True, review=0)
        for sheet, (name,) in make_sheets(book, syllabus, request, folder, PaperOptions()).handed_out:
            lines[name] = " ".join(map(shortest, sheet.items))
    typed = tuple(lines[name] for name in names)
    return Evening(book.path, typed, tuple("=" if number % 2 else "110101" for number in range(len(names))))


def shortest(exercise: Exercise) -> str:
    """The right answer in as few keys as are read without doubt, and without spaces."""
    answer = exercise.answer
    if answer.form is AnswerForm.CHOICE:
        place = answer.options.index(answer.accepted[0])
        return str(answer.numbers[place] if answer.numbers else place + 1)
    if answer.form is AnswerForm.SQUARES:
        return "".join(answer.accepted)
    if not answer.accepted:
        return "none"
    ways = [",".join(answer.accepted)] if answer.all_needed else list(answer.accepted)
    whole = [way.replace("#", "").replace("+", "").replace("=", "") for way in ways]
    bare = [way.translate(_MEN) for way in whole]
    return min((way for way in (*bare, *whole) if mark_answer(exercise, way).right), key=len)


def _keys(lines: tuple[str, ...]) -> int:
    """Each line with its Enter, and Enter once more for yes."""
    return sum(len(line) + 1 for line in lines) + 1


def main() -> None:
    with tempfile.TemporaryDirectory() as room:
        evening = an_evening(Path(room))
    answers = len(evening.lines) * ITEMS
    rows: list[Row] = [
        (what, str(keys), f"{keys / answers:.1f}", f"{60 * keys / KEYS_A_MINUTE:.0f} s")
        for what, keys in (
            ("what they wrote, marked by coachbook", evening.keys),
            ("ticks and crosses only", evening.tick_keys),
        )
    ]
    headers = (f"{len(evening.lines)} sheets of {ITEMS} answers", "keys", "keys an answer", "time")
    text = (
        f"{TITLE}\n\nCounted by `python -m tests.bench.keystrokes`; time at {KEYS_A_MINUTE} keys a minute,"
        f" two fingers. Aim: under two minutes.\n\n{as_markdown(headers, rows)}\n"
    )
    put_section(TITLE, text)
    sys.stdout.write(text)


if __name__ == "__main__":
    main()

"""Measures a big old book: `python -m tests.bench.club`, on a quiet machine.

A thousand students in fifty groups, who have answered half a million items on 84 evenings; and books of
a tenth and a half of that, to see how time grows with the log. Each command runs as its own process, as a
coach would start it: time is the processor time of that process, start included, the best of three.
Prints a table and puts it into RESULTS.md beside this file, in a section of its own.
"""

import os
import platform
import random
import sqlite3
import subprocess
import sys
import tempfile
from collections.abc import Iterator
from concurrent.futures import ProcessPoolExecutor
from contextlib import closing
from dataclasses import dataclass, replace
from datetime import UTC, date, datetime, timedelta
from multiprocessing import get_context
from pathlib import Path

from coachbook.club.book import create_book
from coachbook.club.sheets import save_worksheet
from coachbook.club.students import add_group, add_student
from coachbook.exercises.generate import make_items
from coachbook.model.worksheet import Worksheet
from coachbook.workflows.standings import load_syllabus
from tests.bench.endgame import Row, as_markdown, put_section

TITLE = "# Speed of a big old book"
STUDENTS_A_GROUP, ITEMS = 20, 6
COACHBOOK = Path(sys.executable).with_name("coachbook")
ROUNDS = 3
FIRST = date(2024, 9, 12)
SIZES = ((5, 84), (25, 84), (50, 84))
"""Groups, and evenings of each: 50 times 20 students with 84 sheets of 6 items are 504,000 answers."""
COMMANDS = {
    "review of a group": (("review", "--group", "Group 01", "--date", "2026-06-30", "--json"), "1 s"),
    "overview of a group": (("group", "show", "Group 01", "--date", "2026-06-30"), "2 s"),
    "one student": (("student", "show", "Student 0001", "--date", "2026-06-30"), ""),
    "review of the whole club": (("review", "--date", "2026-06-30", "--json"), ""),
}


@dataclass(frozen=True, slots=True)
class Spent:
    """Processor seconds and peak MiB of one run."""

    seconds: float
    mib: float


def fill(path: Path, groups: int, evenings: int) -> int:
    """Groups, students, sheets and answers: how many answers there are. A third of the answers is wrong."""
    book = create_book(path, "Harbour Lane")
    syllabus = load_syllabus()
    units = syllabus.units[:14]
    samples = {unit.code: make_items(unit, ITEMS, 1, frozenset()) for unit in units}
    with book.writing() as page:
        for group in range(1, groups + 1):
            add_group(page, f"Group {group:02}")
            names = [f"Student {group * 20 - 19 + each:04}" for each in range(STUDENTS_A_GROUP)]
            for name in names:
                add_student(page, name, [f"Group {group:02}"])
            for evening in range(evenings):
                unit = units[evening // 2 % len(units)]
                items = tuple(
                    replace(item, key=f"{group}-{evening}-{number}")
                    for number, item in enumerate(samples[unit.code])
                )
                on = FIRST + timedelta(7 * evening)
                code = f"B-{group}-{evening}"
                sheet = Worksheet(code, book.club_name, unit.code, unit.title, 1, "", on, 1, items)
                save_worksheet(page, sheet, names)
    return _answer_everything(book.path)


def _answer_everything(path: Path) -> int:
    """One entry an evening and group, as if the coach had logged them."""
    chance = random.Random(1)  # noqa: S311 - invented answers, not a secret
    now = datetime(2026, 1, 1, tzinfo=UTC).strftime("%Y-%m-%d %H:%M:%S.%f")
    with closing(sqlite3.connect(path)) as connection, connection:
        sheets = connection.execute("SELECT id, made_on FROM sheet ORDER BY made_on, id").fetchall()
        for entry, (sheet, on) in enumerate(sheets, start=1):
            connection.execute("INSERT INTO log_entry VALUES (?, ?)", (entry, now))
            students = connection.execute("SELECT student_id FROM handout WHERE sheet_id = ?", (sheet,))
            connection.executemany(
                "INSERT INTO answer (student_id, sheet_id, item, entry_id, evening, written, is_right, slip)"
                " VALUES (?, ?, ?, ?, ?, 'Qe5', ?, ?)",
                [
                    (student, sheet, item, entry, on, right, "" if right else "stalemate")
                    for (student,) in students.fetchall()
                    for item in range(1, ITEMS + 1)
                    for right in (chance.random() < 2 / 3,)
                ],
            )
        (count,) = connection.execute("SELECT count(*) FROM answer").fetchone()
    return int(count)


def spent(path: Path, arguments: tuple[str, ...]) -> Spent:
    """The best of several runs of the command."""
    runs = []
    for _ in range(ROUNDS):
        process = subprocess.Popen(
            (str(COACHBOOK), *arguments, "--book", str(path)),
            stdout=subprocess.DEVNULL,
        )
        _, status, usage = os.wait4(process.pid, 0)
        process.returncode = os.waitstatus_to_exitcode(status)
        if process.returncode:
            raise SystemExit(f"{arguments} failed")
        runs.append(Spent(usage.ru_utime + usage.ru_stime, usage.ru_maxrss / 1024))
    return min(runs, key=lambda run: run.seconds)


def _filled_elsewhere(path: Path, groups: int, evenings: int) -> int:
    """The same in another process: what a process has used at most counts for all that it starts."""
    with ProcessPoolExecutor(max_workers=1, mp_context=get_context("spawn")) as other:
        return other.submit(fill, path, groups, evenings).result()


def rows_of(measured: list[tuple[int, dict[str, Spent]]]) -> Iterator[Row]:
    """Each command: its time in each book, and the peak memory in the biggest."""
    for what, (_, aim) in COMMANDS.items():
        times = (f"{each[what].seconds:.2f} s" for _, each in measured)
        yield what, *times, f"{measured[-1][1][what].mib:.0f} MiB", f"under {aim}" if aim else ""


def main() -> None:
    measured = []
    for groups, evenings in SIZES:
        with tempfile.TemporaryDirectory() as room:
            path = Path(room) / "club.book"
            answers = _filled_elsewhere(path, groups, evenings)
            runs = {what: spent(path, arguments) for what, (arguments, _) in COMMANDS.items()}
            measured.append((answers, runs))
    sizes = (f"{answers:,} answers" for answers, _ in measured)
    headers = ("", *sizes, "peak memory", "aim")
    versions = f"Python {platform.python_version()}, SQLite {sqlite3.sqlite_version}, {platform.machine()}"
    text = (
        f"{TITLE}\n\nMeasured by `python -m tests.bench.club` ({versions}); processor time of a whole"
        f" process, the best of {ROUNDS}. Groups of {STUDENTS_A_GROUP}, 84 evenings of {ITEMS} items. What is"
        " asked of a group or a student takes time by their own answers, whatever else is in the log.\n\n"
        f"{as_markdown(headers, list(rows_of(measured)))}\n"
    )
    put_section(TITLE, text)
    sys.stdout.write(text)


if __name__ == "__main__":
    main()

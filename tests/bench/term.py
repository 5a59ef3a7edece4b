"""Measures the planning of a term: `python -m tests.bench.term`, on a quiet machine.

Three groups of ten students each in one room, twelve evenings, every student with answers in some units
already; and the same after a cancelled evening. Time is processor time of one process. Prints a table
and puts it into RESULTS.md beside this file, in a section of its own.
"""

import platform
import sys
import tempfile
from dataclasses import replace
from datetime import UTC, date, datetime, timedelta
from pathlib import Path

from coachbook.club.book import Book, create_book
from coachbook.club.log import log_answers
from coachbook.club.sheets import save_worksheet
from coachbook.club.students import add_group, add_student
from coachbook.model.facts import ItemResult
from coachbook.model.syllabus import Syllabus
from coachbook.model.worksheet import Worksheet
from coachbook.progress.review import due_on, memory_after
from coachbook.workflows.planning import TermWish, plan_terms
from coachbook.workflows.replanning import replan_terms
from coachbook.workflows.standings import load_syllabus
from tests.bench.endgame import Row, as_markdown, put_section, seconds
from tests.model.an_exercise import AN_EXERCISE

TITLE = "# Speed of the term plan"
GROUPS, STUDENTS, EVENINGS, ITEMS = 3, 30, 12, 6
START = date(2026, 9, 10)
WISH = TermWish(START, START + timedelta(weeks=EVENINGS - 1), (START.weekday(),), 60, goal=3)
NOW = datetime(2026, 9, 1, tzinfo=UTC)


def a_club(folder: Path, syllabus: Syllabus) -> Book:
    """Each student has done another number of units before, on two evenings each."""
    book = create_book(folder / "club.book", "Harbour Lane")
    with book.writing() as page:
        for group in range(GROUPS):
            add_group(page, f"Group {group}")
        for number in range(STUDENTS):
            name = f"Student {number:02}"
            add_student(page, name, [f"Group {number % GROUPS}"])
            for index, unit in enumerate(syllabus.units[: number % 8]):
                for evening in range(2):
                    on = START - timedelta(days=20 * (index + 1) + 7 * evening + number)
                    code = f"S{number:02}-{index}{evening}"
                    items = (replace(AN_EXERCISE, unit=unit.code),) * ITEMS
                    sheet = Worksheet(code, "", unit.code, "", 1, "", on, 1, items)
                    save_worksheet(page, sheet, [name])
                    log_answers(page, _results(name, code, unit.code, on, number), NOW)
    return book


def _results(name: str, code: str, unit: str, on: date, number: int) -> list[ItemResult]:
    return [
        ItemResult(
            name, code, unit, item, on, "Qg7#", item <= 2 + number % 5, "" if item <= 2 + number % 5 else "x"
        )
        for item in range(1, ITEMS + 1)
    ]


def main() -> None:
    syllabus = load_syllabus()
    groups = [f"Group {number}" for number in range(GROUPS)]
    with tempfile.TemporaryDirectory() as room:
        book = a_club(Path(room), syllabus)

        def forget() -> None:
            memory_after.cache_clear()
            due_on.cache_clear()

        def plan() -> None:
            forget()
            plan_terms(book, syllabus, groups, WISH)

        def replan() -> None:
            forget()
            plan_terms(book, syllabus, groups, WISH)
            replan_terms(
                book, syllabus, groups, START + timedelta(weeks=3), cancel=[START + timedelta(weeks=3)]
            )

        planning, both = seconds(plan, 3), seconds(replan, 3)
    rows: list[Row] = [
        (f"{EVENINGS} evenings, {GROUPS} groups, {STUDENTS} students", f"{planning:.2f} s", "under 1 s"),
        ("the same, and once more after a cancelled evening", f"{both:.2f} s", ""),
    ]
    text = (
        f"{TITLE}\n\nMeasured by `python -m tests.bench.term` (Python {platform.python_version()},"
        f" {platform.machine()}); processor time of one process, the best of 3 runs, from the book to the"
        f" book, forecasts of memory included.\n\n{as_markdown(('', 'measured', 'aim'), rows)}\n"
    )
    put_section(TITLE, text)
    sys.stdout.write(text)


if __name__ == "__main__":
    main()

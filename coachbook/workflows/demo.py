"""A whole first evening of a club that is given as a folder of tables, from nothing to review."""

import tomllib
from collections.abc import Callable
from contextlib import ExitStack
from dataclasses import dataclass
from datetime import date, datetime
from pathlib import Path

from coachbook.club.book import Book
from coachbook.errors import CoachbookError
from coachbook.files.reading import read_text
from coachbook.files.unfinished import unfinished_folder
from coachbook.model.dates import WEEKDAYS
from coachbook.model.print_options import PaperOptions
from coachbook.model.problem import Problem
from coachbook.model.progress import ReviewAdvice
from coachbook.model.syllabus import Syllabus, Unit
from coachbook.model.term_plan import PlannedSession, SlotKind, TermPlan
from coachbook.workflows.log_from_tables import Logged, answers_from_table, attendance_from_table
from coachbook.workflows.members import import_students, new_club
from coachbook.workflows.papers import file_names, make_folder
from coachbook.workflows.planning import PlannedTerm, TermWish, plan_terms, print_terms
from coachbook.workflows.printed_sheets import make_sheets, students_for
from coachbook.workflows.sheet_making import SheetRequest
from coachbook.workflows.spreadsheet import Row, read_table
from coachbook.workflows.standings import who_needs_review
from coachbook.workflows.unit_papers import print_lesson

SEED = 1
ITEMS = 6
_BOOK = "club.book"
Progress = Callable[[str], None]


@dataclass(frozen=True, slots=True)
class FirstEvening:
    """What the demo left: the files in its folder, what was logged, and who needs review when."""

    club: str
    on: date
    files: tuple[str, ...]
    attendance: Logged
    answers: Logged
    review_on: date
    advice: tuple[ReviewAdvice, ...]


def play_first_evening(
    source: Path, folder: Path, syllabus: Syllabus, now: datetime, options: PaperOptions, progress: Progress
) -> FirstEvening:
    """Read a club's tables (see sample_club) and leave book, term plans and the first evening's papers in
    `folder`, which must be new or empty. All of it, or nothing. Raises CoachbookError for a folder that is
    neither or cannot be written, and for tables with mistakes."""
    if folder.exists() and (not folder.is_dir() or any(folder.iterdir())):
        raise CoachbookError(f"{folder} is not empty.", "Name a new folder for the demo.")
    make_folder(folder.parent)
    with ExitStack() as stack:
        try:
            unfinished = stack.enter_context(unfinished_folder(folder.parent))
        except OSError as error:
            raise CoachbookError(
                f"{folder} cannot be made ({error.strerror}).", "Choose another place."
            ) from error
        evening = _play(source, unfinished, syllabus, now, options, progress)
        if folder.exists():
            folder.rmdir()
        unfinished.rename(folder)
    return evening


def _play(
    source: Path, folder: Path, syllabus: Syllabus, now: datetime, options: PaperOptions, progress: Progress
) -> FirstEvening:
    club = _club_name(source / "club.toml")
    progress(f"the book of {club}")
    book = new_club(folder / _BOOK, club)
    _stop_at(import_students(book, source / "students.csv", now).problems)
    plans = _plan_terms(book, syllabus, source / "term.csv", folder, options, progress)
    first = min(plan.sessions[0].on for plan in plans.values())
    called = file_names(plans)
    for group, plan in plans.items():
        if plan.sessions[0].on == first:
            place = folder / f"{first}-{called[group]}"
            _prepare(book, syllabus, group, plan.sessions[0], place, options, progress)
    progress("logging attendance and answers")
    attendance = attendance_from_table(book, source / "attendance.csv", first, now, sure=True)
    _stop_at(attendance.problems)
    answers = answers_from_table(book, source / "answers.csv", None, first, first, now, sure=True)
    _stop_at(answers.problems)
    later = min(
        (session.on for plan in plans.values() for session in plan.sessions if session.on > first),
        default=first,
    )
    advice = who_needs_review(book, syllabus, None, later)
    files = tuple(sorted(str(path.relative_to(folder)) for path in folder.rglob("*") if path.is_file()))
    return FirstEvening(club, first, files, attendance, answers, later, advice)


def _plan_terms(
    book: Book, syllabus: Syllabus, path: Path, folder: Path, options: PaperOptions, progress: Progress
) -> dict[str, TermPlan]:
    rows, problems = read_table(path, ("group", "from", "to", "weekday", "minutes"), ("skip",))
    _stop_at(problems)
    if not rows:
        raise CoachbookError(f"{path.name} has no term.", "Give a row for each group.")
    plans = {}
    called = file_names(dict.fromkeys(row["group"] for row in rows))
    for row in rows:
        progress(f"a term plan for {row['group']}")
        (planned,) = _plan_term(book, syllabus, row, path)
        wall = folder / f"term-{called[row['group']]}.pdf"
        print_terms(book.club_name, syllabus, {planned.group: planned.plan}, wall, options)
        plans[planned.group] = planned.plan
    return plans


def _plan_term(book: Book, syllabus: Syllabus, row: Row, path: Path) -> tuple[PlannedTerm, ...]:
    try:
        wish = TermWish(
            starts_on=date.fromisoformat(row["from"]),
            ends_on=date.fromisoformat(row["to"]),
            weekdays=(WEEKDAYS.index(row["weekday"].capitalize()),),
            minutes=int(row["minutes"]),
            skip=tuple(date.fromisoformat(day) for day in row["skip"].split()),
        )
    except ValueError as error:
        raise CoachbookError(
            str(row.problem(path, "a date, a weekday or the minutes cannot be read")),
            "Write 2026-09-10, Thursday and 60.",
        ) from error
    return plan_terms(book, syllabus, (row["group"],), wish).planned


def _prepare(
    book: Book,
    syllabus: Syllabus,
    group: str,
    session: PlannedSession,
    place: Path,
    options: PaperOptions,
    progress: Progress,
) -> None:
    unit = _new_unit(syllabus, session)
    progress(f"a lesson plan for {group}")
    print_lesson(book, syllabus, unit, group, session.on, place / "lesson.pdf", options)
    progress(f"worksheets and a key for {group}")
    with book.reading() as tx:
        students = students_for(tx, group, None)
    request = SheetRequest(unit, students, ITEMS, SEED, session.on, personal=True)
    make_sheets(book, syllabus, request, place, options)


def _new_unit(syllabus: Syllabus, session: PlannedSession) -> Unit:
    codes = [slot.unit for slot in session.slots if slot.unit and slot.kind is SlotKind.NEW]
    if not codes:
        raise CoachbookError(f"The first evening, {session.on}, has no new unit.", "Plan a longer evening.")
    return syllabus.unit(codes[0])


def _club_name(path: Path) -> str:
    try:
        name = tomllib.loads(read_text(path)).get("name")
    except (OSError, ValueError, RecursionError) as error:
        raise CoachbookError(f"{path} cannot be read: {error}.", 'It needs one line: name = "..."') from error
    if not isinstance(name, str):
        raise CoachbookError(f"{path} names no club.", 'It needs one line: name = "..."')
    return name


def _stop_at(problems: tuple[Problem, ...]) -> None:
    if problems:
        more = f" (and {len(problems) - 1} more)" if len(problems) > 1 else ""
        raise CoachbookError(f"{problems[0]}{more}", problems[0].advice or "")

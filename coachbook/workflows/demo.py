"""A whole first evening of a club that is given as a folder of tables, from nothing to review."""

import tomllib
from collections.abc import Callable
from contextlib import ExitStack
from dataclasses import dataclass
from datetime import date, datetime
from pathlib import Path

from coachbook.club.book import Book
from coachbook.errors import CoachbookError, InWords
from coachbook.files.reading import read_text
from coachbook.files.unfinished import unfinished_folder
from coachbook.files.writing import put_in_place
from coachbook.model.dates import WEEKDAYS
from coachbook.model.print_options import PaperOptions
from coachbook.model.problem import Problem
from coachbook.model.syllabus import Syllabus
from coachbook.wording.start_here import start_here
from coachbook.workflows.log_from_tables import Logged, answers_from_table, attendance_from_table
from coachbook.workflows.members import import_students, new_club
from coachbook.workflows.papers import file_names, make_folder
from coachbook.workflows.planning import TermWish, plan_terms, print_terms
from coachbook.workflows.preparing import prepare_evening
from coachbook.workflows.spreadsheet import Row, read_table
from coachbook.workflows.standings import Reviews, reviews_due

START_HERE = "START-HERE.txt"
_BOOK = "club.book"
Progress = Callable[[str], None]


@dataclass(frozen=True, slots=True)
class FirstEvening:
    """What the demo left: the files in its folder in the order of reading, what was logged, and who needs
    review by the next evening."""

    club: str
    on: date
    files: tuple[str, ...]
    attendance: Logged
    answers: Logged
    reviews: Reviews


def play_first_evening(
    source: Path,
    folder: Path,
    syllabus: Syllabus,
    now: datetime,
    options: PaperOptions,
    progress: Progress,
    in_words: InWords,
) -> FirstEvening:
    """Read a club's tables (see sample_club) and leave book, term plans, the first evening's papers and a
    note on what to read first in `folder`, which must be new or empty. All of it, or nothing. The papers
    say `in_words` what to do next. Raises CoachbookError for a folder that is neither or cannot be written,
    and for tables with mistakes."""
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
        evening = _play(source, unfinished, syllabus, now, options, progress, in_words)
        if folder.exists():
            folder.rmdir()
        unfinished.rename(folder)
    return evening


def _play(
    source: Path,
    folder: Path,
    syllabus: Syllabus,
    now: datetime,
    options: PaperOptions,
    progress: Progress,
    in_words: InWords,
) -> FirstEvening:
    club = _club_name(source / "club.toml")
    progress(f"the book of {club}")
    book = new_club(folder / _BOOK, club)
    _stop_at(import_students(book, source / "students.csv", now).problems)
    walls, first = _plan_terms(book, syllabus, source / "term.csv", folder, options, progress)
    made = prepare_evening(
        book,
        syllabus,
        first,
        (),
        folder / f"evening-{first}",
        first,
        options,
        lambda _done, _of, what: progress(what),
        in_words=in_words,
    )
    progress("logging attendance and answers")
    attendance = attendance_from_table(book, source / "attendance.csv", first, now, sure=True)
    _stop_at(attendance.problems)
    answers = answers_from_table(book, source / "answers.csv", None, first, first, now, sure=True)
    _stop_at(answers.problems)
    papers = (made.coach_pdf, made.printer_pdf, *walls, book.path)
    files = tuple(path.relative_to(folder).as_posix() for path in papers)
    put_in_place(folder / START_HERE, start_here(club, first, files).encode())
    reviews = reviews_due(book, syllabus, None, first)
    return FirstEvening(club, first, (START_HERE, *files), attendance, answers, reviews)


def _plan_terms(
    book: Book, syllabus: Syllabus, path: Path, folder: Path, options: PaperOptions, progress: Progress
) -> tuple[tuple[Path, ...], date]:
    """The plans on paper, and the first evening of all. Groups that meet on the same days for as long share
    a room and its coach, and are planned together."""
    rows, problems = read_table(path, ("group", "from", "to", "weekday", "minutes"), ("skip",))
    _stop_at(problems)
    if not rows:
        raise CoachbookError(f"{path.name} has no term.", "Give a row for each group.")
    together: dict[TermWish, list[str]] = {}
    for row in rows:
        together.setdefault(_wish(row, path), []).append(row["group"])
    called = file_names({row["group"]: None for row in rows})
    walls, begins = [], []
    for wish, groups in together.items():
        progress(f"a term plan for {' and '.join(groups)}")
        plans = {each.group: each.plan for each in plan_terms(book, syllabus, groups, wish).planned}
        which = "" if len(together) == 1 else "".join(f"-{called[group]}" for group in groups)
        walls.append(folder / f"term{which}.pdf")
        print_terms(book.club_name, syllabus, plans, walls[-1], options)
        begins += [plan.sessions[0].on for plan in plans.values()]
    return tuple(walls), min(begins)


def _wish(row: Row, path: Path) -> TermWish:
    try:
        return TermWish(
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

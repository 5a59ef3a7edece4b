"""Worksheets: fresh exercises for a group or a student, saved in the book and put on paper."""

from collections.abc import Callable, Sequence
from contextlib import suppress
from dataclasses import dataclass
from datetime import date
from pathlib import Path

from coachbook.club.book import Book, Reading, Writing
from coachbook.club.sheets import (
    is_taken,
    load_worksheet,
    save_worksheet,
    saved_sheet,
    sheets_of,
    used_keys,
)
from coachbook.club.students import list_students, student_named
from coachbook.errors import CoachbookError
from coachbook.exercises.generate import derived_seed, make_items
from coachbook.model.club import SavedSheet
from coachbook.model.syllabus import Syllabus, Unit
from coachbook.model.worksheet import Worksheet
from coachbook.paper.key import write_key
from coachbook.paper.options import PaperOptions
from coachbook.paper.worksheet import write_worksheets
from coachbook.workflows.planning import named_group

_CODE_LETTERS = "23456789ABCDEFGHJKMNPQRSTVWXYZ"
_CODE_LENGTH = 5
_TRIES = 100

Progress = Callable[[int, int, str], None]
"""(done, of how many, what is being done)."""


@dataclass(frozen=True, slots=True)
class PrintedSheets:
    """What was made: each worksheet with the students it is for, and the two files."""

    handed_out: tuple[tuple[Worksheet, tuple[str, ...]], ...]
    sheets_pdf: Path
    key_pdf: Path


@dataclass(frozen=True, slots=True)
class SheetRequest:
    """What is asked for. `seed` decides the choice of positions; the same seed on the same
    book gives the same sheets. `personal` gives each student a sheet of their own."""

    unit: Unit
    students: tuple[str, ...]
    items: int
    seed: int
    made_on: date
    personal: bool = False


def make_sheets(
    book: Book,
    syllabus: Syllabus,
    request: SheetRequest,
    folder: Path,
    options: PaperOptions,
    progress: Progress = lambda _done, _of, _what: None,
) -> PrintedSheets:
    """Make, save and print worksheets and their key; all of it, or nothing. Raises CoachbookError.

    No student gets a position that they had on an earlier sheet, turned or mirrored.
    """
    _check(request)
    files: list[Path] = []
    try:
        with book.writing() as page:
            sheets = []
            sharing = [(name,) for name in request.students] if request.personal else [request.students]
            for number, students in enumerate(sharing):
                progress(number, len(sharing), f"worksheet for {', '.join(students)}")
                sheets.append((_make(page, book.club_name, syllabus, request, number, students), students))
            progress(len(sharing), len(sharing), "printing")
            name = f"{request.unit.code}-{sheets[0][0].code}"
            printed = PrintedSheets(tuple(sheets), folder / f"{name}.pdf", folder / f"{name}-key.pdf")
            files += [printed.sheets_pdf, printed.key_pdf]
            copies = [(sheet, student) for sheet, students in sheets for student in students]
            print_sheets(copies, printed.sheets_pdf, printed.key_pdf, options)
    except BaseException:
        # A printed sheet whose code the book does not know could never be marked.
        for file in files:
            with suppress(OSError):
                file.unlink(missing_ok=True)
        raise
    return printed


def reprint_sheet(book: Book, code: str, folder: Path, options: PaperOptions) -> PrintedSheets:
    """Print a saved sheet and its key again, from the book alone. Raises CoachbookError."""
    with book.reading() as page:
        sheet, students = load_worksheet(page, code), saved_sheet(page, code).students
    name = f"{sheet.unit}-{sheet.code}"
    printed = PrintedSheets(((sheet, students),), folder / f"{name}.pdf", folder / f"{name}-key.pdf")
    print_sheets([(sheet, student) for student in students], printed.sheets_pdf, printed.key_pdf, options)
    return printed


def list_sheets(book: Book, student: str | None = None) -> tuple[SavedSheet, ...]:
    """All sheets, or those that a student was given, by date and code. Raises CoachbookError."""
    with book.reading() as page:
        names = [student] if student is not None else [each.name for each in list_students(page)]
        found = {sheet.code: sheet for name in names for sheet in sheets_of(page, name)}
    return tuple(sorted(found.values(), key=lambda sheet: (sheet.made_on, sheet.code)))


def students_asked_for(book: Book, group: str | None, student: str | None) -> tuple[str, ...]:
    """The student named, else those of the group (the only one, if none is named). Raises CoachbookError."""
    if group is not None and student is not None:
        raise CoachbookError(
            "A sheet is for a group or for a student.", "Give --group or --student, not both."
        )
    with book.reading() as page:
        chosen = named_group(page, group).name if student is None else None
        return students_for(page, chosen, student)


def students_for(page: Reading, group: str | None, student: str | None) -> tuple[str, ...]:
    """The students of a group, or the one named. Raises CoachbookError if there are none."""
    if student is not None:
        return (student_named(page, student).name,)
    members = tuple(member.name for member in list_students(page, group))
    if not members:
        raise CoachbookError(
            "There is no student to make a sheet for.", "Add one with 'coachbook student add'."
        )
    return members


def print_sheets(
    copies: Sequence[tuple[Worksheet, str]], sheets_pdf: Path, key_pdf: Path, options: PaperOptions
) -> None:
    """Both files, or neither. Raises CoachbookError."""
    make_folder(sheets_pdf.parent)
    write_worksheets(copies, sheets_pdf, options)
    try:
        write_key(tuple({sheet.code: sheet for sheet, _ in copies}.values()), key_pdf, options)
    except CoachbookError:
        sheets_pdf.unlink(missing_ok=True)
        raise


def make_folder(folder: Path) -> None:
    """Make a folder for files, with those above it. Raises CoachbookError."""
    try:
        folder.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        raise CoachbookError(
            f"The folder {folder} cannot be made ({error.strerror}).", "Choose another folder."
        ) from error


def _check(request: SheetRequest) -> None:
    if not 1 <= request.items <= 24:
        raise CoachbookError(f"A sheet cannot have {request.items} exercises.", "Ask for 1 to 24.")


def _make(
    page: Writing,
    club: str,
    syllabus: Syllabus,
    request: SheetRequest,
    number: int,
    students: tuple[str, ...],
) -> Worksheet:
    used = frozenset[str]().union(*(used_keys(page, name) for name in students))
    seed = derived_seed(request.seed, request.unit.code, str(number))
    sheet = Worksheet(
        code=_free_code(page, request, number),
        club=club,
        unit=request.unit.code,
        unit_title=request.unit.title,
        level=request.unit.level,
        level_title=syllabus.level_of(request.unit).title,
        made_on=request.made_on,
        seed=request.seed,
        items=make_items(request.unit, request.items, seed, used),
    )
    save_worksheet(page, sheet, students)
    return sheet


def _free_code(page: Writing, request: SheetRequest, number: int) -> str:
    """A short code such as QB-4K7M2: the unit's initials, and letters that the seed decides."""
    initials = "".join(word[0] for word in request.unit.code.upper().split("-"))
    for attempt in range(_TRIES):
        rest = derived_seed(request.seed, request.unit.code, str(request.made_on), str(number), str(attempt))
        letters = ""
        for _ in range(_CODE_LENGTH):
            rest, index = divmod(rest, len(_CODE_LETTERS))
            letters += _CODE_LETTERS[index]
        code = f"{initials}-{letters}"
        if not is_taken(page, code):
            return code
    raise CoachbookError("No free sheet code was found.", "Choose another seed.")

"""Worksheets: fresh exercises for a group or a student, saved in the book and put on paper, with what
helps: what words mean, the rules that are named, an example."""

from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import date
from pathlib import Path

from coachbook.club.book import Book, Reading, Writing
from coachbook.club.sheets import (
    has_checksum,
    kinds_given,
    load_worksheet,
    save_worksheet,
    saved_sheet,
    sheets_of,
)
from coachbook.club.stored import damaged_sheet
from coachbook.club.students import in_order, list_students, student_named
from coachbook.errors import Advice, CoachbookError, Step
from coachbook.exercises.generate import TOLERANCE, Forms, derived_seed, make_example
from coachbook.exercises.verify import find_damage
from coachbook.method.methods import find_method
from coachbook.method.rules import Method
from coachbook.model.claims import MethodLine, MethodRule
from coachbook.model.facts import SavedSheet
from coachbook.model.print_options import PaperOptions
from coachbook.model.syllabus import KindUse, Syllabus, Unit
from coachbook.model.worksheet import Exercise, RuleCard, Worksheet
from coachbook.paper.answer_key import key_pdf
from coachbook.paper.bundle import Part, printer_pdf
from coachbook.paper.sheet_pages import worksheets_pdf
from coachbook.wording.definitions import DEFINITIONS, definitions_for, definitions_of_card
from coachbook.workflows.members import named_group
from coachbook.workflows.papers import Papers, papers_in
from coachbook.workflows.sheet_making import (
    SheetRequest,
    form_items,
    free_code,
    sheet_items,
    titles_on,
    used_by,
)
from coachbook.workflows.unit_papers import rules_in_words


def sound_sheet(tx: Reading, code: str) -> Worksheet:
    """The worksheet exactly as it was saved; `code` in any case, and with spaces.

    Raises CoachbookError for an unknown sheet, and for a damaged one: a checksum shows that, or, on a
    sheet of coachbook 0.1.0, an answer that is not what the sheet claims of the position.
    """
    sheet = load_worksheet(tx, code)
    if not has_checksum(tx, code) and any(map(find_damage, sheet.items)):
        raise damaged_sheet(sheet.code)
    return sheet


Handout = tuple[Worksheet, tuple[str, ...]]
"""A worksheet and the students who are given it."""

Progress = Callable[[int, int, str], None]
"""(done, of how many, what is being done)."""


@dataclass(frozen=True, slots=True)
class PrintedSheets:
    """What was made: each worksheet with the students it is for, and the two files.

    `note` says in a line what could not be had as asked for, or is "".
    """

    handed_out: tuple[Handout, ...]
    sheets_pdf: Path
    key_pdf: Path
    note: str = ""


def make_sheets(
    book: Book,
    syllabus: Syllabus,
    request: SheetRequest,
    folder: Path,
    options: PaperOptions,
    progress: Progress = lambda _done, _of, _what: None,
) -> PrintedSheets:
    """Make, save and print worksheets and their key; all of it, or nothing. Raises CoachbookError if there
    are no students, the positions have run out, or a file cannot be written.

    No student gets a position that they had on an earlier sheet, turned or mirrored. The book has the
    sheets before their papers appear: a printed sheet whose code it does not know could never be marked.
    """
    with papers_in(folder) as papers:
        with book.writing() as tx:
            handed_out, note = _make(tx, book.club_name, syllabus, request, progress)
            progress(1, 1, "printing")
            printed = PrintedSheets(handed_out, *_places(handed_out, folder), note)
            copies = _copies(handed_out, request.students)
            add_sheets(papers, copies, printed.sheets_pdf, printed.key_pdf, options)
        put_sheets_in_place(papers, [sheet for sheet, _ in handed_out])
    return printed


def reprint_sheets(book: Book, codes: Sequence[str], folder: Path, options: PaperOptions) -> PrintedSheets:
    """Print saved sheets and their key again, from the book alone. Raises CoachbookError for an unknown or
    damaged sheet, and if a file cannot be written.

    All sheets that were made in one go, in their order and with the same options, give the same
    files byte by byte.
    """
    with book.reading() as tx:
        handed_out = tuple(
            (sound_sheet(tx, code), saved_sheet(tx, code).students)
            for code in dict.fromkeys(code.strip().upper() for code in codes)
        )
    printed = PrintedSheets(handed_out, *_places(handed_out, folder))
    students = sorted({name for _, names in handed_out for name in names}, key=in_order)
    copies = _copies(handed_out, students)
    with papers_in(folder) as papers:
        add_sheets(papers, copies, printed.sheets_pdf, printed.key_pdf, options)
        papers.put_in_place()
    return printed


def put_sheets_in_place(papers: Papers, sheets: Sequence[Worksheet]) -> None:
    """Gives the papers of sheets that the book has their places. Raises CoachbookError, which says how to
    print them again."""
    codes = " ".join(sheet.code for sheet in sheets)
    if not codes:
        papers.put_in_place()
        return
    kept = "The sheet is in the book." if len(sheets) == 1 else "The sheets are in the book."
    papers.put_in_place(kept=kept, again=Advice(Step.PRINT_AGAIN, {"sheets": codes}))


def list_sheets(book: Book, student: str | None = None) -> tuple[SavedSheet, ...]:
    """All sheets, or those that a student was given, by date and code. Raises CoachbookError for an unknown
    student."""
    with book.reading() as tx:
        names = [student] if student is not None else [each.name for each in list_students(tx)]
        found = {sheet.code: sheet for name in names for sheet in sheets_of(tx, name)}
    return tuple(sorted(found.values(), key=lambda sheet: (sheet.made_on, sheet.code)))


def students_asked_for(book: Book, group: str | None, student: str | None) -> tuple[str, ...]:
    """The student named, else those of the group (the only one, if none is named). Raises CoachbookError if
    both are named, one is unknown, there is nobody in the group, or none is named and the club has not just
    one group."""
    if group is not None and student is not None:
        raise CoachbookError("A sheet is for a group or for a student.", Advice(Step.CHOOSE_GROUP_OR_STUDENT))
    with book.reading() as tx:
        chosen = named_group(tx, group).name if student is None else None
        return students_for(tx, chosen, student)


def students_for(tx: Reading, group: str | None, student: str | None) -> tuple[str, ...]:
    """The students of a group, or the one named. Raises CoachbookError if there are none."""
    if student is not None:
        return (student_named(tx, student).name,)
    members = tuple(member.name for member in list_students(tx, group))
    if not members:
        raise CoachbookError("There is no student to make a sheet for.", Advice(Step.ADD_A_STUDENT))
    return members


def add_sheets(
    papers: Papers,
    copies: Sequence[tuple[Worksheet, str]],
    for_sheets: Path,
    for_key: Path,
    options: PaperOptions,
) -> None:
    """Adds the copies and their key to papers. Raises CoachbookError if an item is too long for any page,
    or a file may not stand at its place or cannot be written."""
    printed = worksheets_pdf(copies, options)
    if options.two_up:
        titles = " ".join(dict.fromkeys(sheet.code for sheet, _ in copies))
        printed, _ = printer_pdf([Part("", printed)], titles, options)
    papers.add(for_sheets, printed)
    sheets = {sheet.code: sheet for sheet, _ in copies}
    names = {code: [name for sheet, name in copies if sheet.code == code] for code in sheets}
    papers.add(for_key, key_pdf(tuple(sheets.values()), options, names))


def _places(handed_out: Sequence[Handout], folder: Path) -> tuple[Path, Path]:
    """Where sheets and key are written: named after the first sheet, parallel forms after what they share."""
    sheet = handed_out[0][0]
    forms = {each.shared_code for each, _ in handed_out} == {sheet.shared_code} and len(handed_out) > 1
    name = f"{sheet.unit}-{sheet.shared_code if forms else sheet.code}"
    return folder / f"{name}.pdf", folder / f"{name}-key.pdf"


def _copies(handed_out: Sequence[Handout], students: Sequence[str]) -> list[tuple[Worksheet, str]]:
    """Student by student; a sheet that nobody has any more comes once, without a name."""
    copies = [(sheet, name) for name in students for sheet, names in handed_out if name in names]
    return copies + [(sheet, "") for sheet, names in handed_out if not names]


@dataclass(frozen=True, slots=True)
class SheetStart:
    """What a sheet has before it has items: its code, the club's name, the unit it is of, its seed, and the
    evening for which it is made, if that is known."""

    code: str
    club: str
    unit: Unit
    made_on: date
    seed: int
    evening: date | None = None


def save_sheet(
    tx: Writing,
    syllabus: Syllabus,
    start: SheetStart,
    items: Sequence[Exercise],
    students: tuple[str, ...],
    *,
    title: str = "",
    form: str = "",
    example: Exercise | None = None,
    assessed: tuple[str, ...] = (),
) -> Handout:
    """A sheet with these items and all that helps with them, saved for the students; `title` in place of the
    unit's own. Raises CoachbookError for a code that is taken, and for an unknown student."""
    sheet = Worksheet(
        code=start.code,
        club=start.club,
        unit=start.unit.code,
        unit_title=title or start.unit.title,
        level=start.unit.level,
        level_title=syllabus.level_of(start.unit).title,
        made_on=start.made_on,
        seed=start.seed,
        items=tuple(items),
        titles=titles_on(syllabus, items),
        form=form,
        example=example,
        assessed=assessed,
        evening=start.evening,
    )
    sheet = with_words(sheet)
    save_worksheet(tx, sheet, students)
    return sheet, students


def _make(
    tx: Writing, club: str, syllabus: Syllabus, request: SheetRequest, progress: Progress
) -> tuple[tuple[Handout, ...], str]:
    """The sheets, saved, and what is to be noted."""

    def example(items: tuple[Exercise, ...], students: tuple[str, ...], number: int) -> Exercise | None:
        seed = derived_seed(request.seed, request.unit.code, str(number))
        return example_for(tx, syllabus, items, students, request.made_on, seed)

    def save(
        code: str,
        items: tuple[Exercise, ...],
        shown: Exercise | None,
        students: tuple[str, ...],
        form: str = "",
    ) -> Handout:
        start = SheetStart(
            f"{code}-{form}" if form else code,
            club,
            request.unit,
            request.made_on,
            request.seed,
            request.evening,
        )
        return save_sheet(tx, syllabus, start, items, students, form=form, example=shown)

    source = (syllabus, request.unit.code, request.seed, request.made_on)
    if request.forms:
        progress(0, 1, "forms A and B")
        forms, code = form_items(tx, request), free_code(tx, *source, 0)
        shown = example((*forms.a, *forms.b), request.students, 0)
        a = save(code, forms.a, shown, request.students[::2], "A")
        return (a, save(code, forms.b, shown, request.students[1::2], "B")), _note(forms)
    made = []
    sharing = [(name,) for name in request.students] if request.personal else [request.students]
    for number, students in enumerate(sharing):
        progress(number, len(sharing), f"worksheet for {', '.join(students)}")
        items = sheet_items(tx, syllabus, request, number, students)
        shown = example(items, students, number)
        made.append(save(free_code(tx, *source, number), items, shown, students))
    return tuple(made), ""


def _note(forms: Forms) -> str:
    if forms.widest <= TOLERANCE:
        return ""
    return (
        f"Few fresh positions are left: some pairs of A and B differ by up to {forms.widest} points of"
        f" difficulty, more than the usual {TOLERANCE}."
    )


_BY_THE_RULES = ("task_next_rule", "task_next_moves")


def with_words(sheet: Worksheet) -> Worksheet:
    """The sheet with all that its items and its example ask a student to know, each once."""
    shown = (*sheet.items, *([sheet.example] if sheet.example else ()))
    methods = tuple(_methods_to_read(shown))
    codes = [code for item in shown for code in definitions_for(item.task.code, dict(item.task.facts))]
    codes += [code for method in methods for code in definitions_of_card(method.name)]
    words = tuple(DEFINITIONS[code] for code in dict.fromkeys(codes))
    return replace(sheet, words=words, cards=tuple(map(_card, methods)))


def _methods_to_read(items: Iterable[Exercise]) -> Iterator[Method]:
    """The methods by whose rules a task says to play."""
    asking = (item for item in items if item.task.code in _BY_THE_RULES)
    claims = (claim for item in asking for claim in item.claims if isinstance(claim, MethodRule | MethodLine))
    for name in dict.fromkeys(claim.method for claim in claims):
        method = find_method(name)
        if method is not None:
            yield method


def _card(method: Method) -> RuleCard:
    rules = rules_in_words(method)
    return RuleCard(method.title, tuple((rule.number, f"{rule.head} {rule.words}".strip()) for rule in rules))


def example_for(
    tx: Reading,
    syllabus: Syllabus,
    items: Sequence[Exercise],
    students: tuple[str, ...],
    made_on: date,
    seed: int,
    but: frozenset[str] = frozenset(),
) -> Exercise | None:
    """An example of the first kind on a sheet that none of the students had before the day on which it is
    made: no item of the sheet, nothing with a key in `but`, and new to them. None if no kind is new, or no
    fresh position is left.

    Raises CoachbookError for an unknown student.
    """
    known = kinds_given(tx, students, made_on)
    new = next((item for item in items if item.kind not in known), None)
    use = _use_of(syllabus, new) if new is not None else None
    if use is None:
        return None
    used = used_by(tx, students) | but | {item.key for item in items}
    return make_example(*use, derived_seed(seed, "example"), used, items)


def _use_of(syllabus: Syllabus, item: Exercise) -> tuple[Unit, KindUse] | None:
    """How the item's unit asks for its kind; None of a kind that only the coach's own position is for."""
    unit = syllabus.unit(item.unit)
    return next(((unit, use) for use in unit.kinds if use.kind == item.kind), None)

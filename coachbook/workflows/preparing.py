"""Everything for an evening in one go: one file for the printer, one for the coach."""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from pathlib import Path

from coachbook.club.book import Book, Reading, Writing
from coachbook.club.prepared import Prepared, keep_prepared, prepared_for
from coachbook.club.results import logged_students
from coachbook.club.sheets import save_worksheet
from coachbook.club.students import list_groups, student_named
from coachbook.club.terms import terms_of
from coachbook.errors import CoachbookError
from coachbook.exercises.generate import derived_seed
from coachbook.model.exercise import Exercise
from coachbook.model.syllabus import Syllabus, Unit
from coachbook.model.worksheet import Worksheet
from coachbook.paper.options import PaperOptions
from coachbook.workflows.evening_files import GroupPapers, write_evening
from coachbook.workflows.groups import days_held, named_groups, term_at
from coachbook.workflows.papers import papers_in
from coachbook.workflows.sheet_codes import free_code
from coachbook.workflows.sheet_items import fresh_items, titles_on, used_by
from coachbook.workflows.sound_sheets import sound_sheet
from coachbook.workflows.tonight import Tonight, tonight_of

Progress = Callable[[int, int, str], None]
"""(done, of how many, what is being done)."""


@dataclass(frozen=True, slots=True)
class PreparedEvening:
    """What was made: the two files, whether each is as it was before, and what changed since then, in
    words; `notes` tell what could not be had."""

    on: date
    groups: tuple[str, ...]
    printer_pdf: Path
    coach_pdf: Path
    pages: int
    is_first: bool
    same_files: bool
    changes: tuple[str, ...]
    notes: tuple[str, ...]


def prepare_evening(
    book: Book,
    syllabus: Syllabus,
    on: date | None,
    groups: Sequence[str],
    folder: Path | None,
    today: date,
    options: PaperOptions,
    progress: Progress = lambda _done, _of, _what: None,
) -> PreparedEvening:
    """Make, save and print everything for an evening (the next one in the plans from `today` on, if none
    is named) of the groups that have one, or of those named; all of it, or nothing.

    Papers that were made before are printed again just so, unless something has changed; a sheet
    with answers is never replaced, and one that is stays in the book, as it may be printed.
    Raises CoachbookError.
    """
    with book.reading() as page:
        day, names = _evening_of(page, on, groups, today)
    place = folder or Path(f"evening-{day}")
    files = (place / "print.pdf", place / "coach.pdf")
    with papers_in(place) as out:
        parts = (out.part(files[0]), out.part(files[1]))
        before = [file.read_bytes() if file.is_file() else b"" for file in files]
        with book.writing() as page:
            papers, changes, notes = [], list[str](), list[str]()
            is_first = not any(prepared_for(page, name, day) for name in names)
            for number, name in enumerate(names):
                progress(number, len(names) + 1, f"worksheets for {name}")
                tonight = tonight_of(page, syllabus, name, day)
                changes += _prepare_group(page, book.club_name, syllabus, tonight, notes)
                papers.append(_papers_of(page, tonight))
            progress(len(names), len(names) + 1, "printing")
            room = out.room / "parts"
            room.mkdir(mode=0o700)
            pages = write_evening(book, syllabus, papers, day, notes, parts, room, options)
        same = all(part.read_bytes() == old for part, old in zip(parts, before, strict=True))
        # Only now: paper that the book does not know could never be marked.
        out.put_in_place(kept="The evening is in the book.", again="Prepare it again, to print it.")
    shown = () if is_first else tuple(changes)
    return PreparedEvening(day, names, *files, pages, is_first, same, shown, tuple(notes))


def _evening_of(
    page: Reading, on: date | None, groups: Sequence[str], today: date
) -> tuple[date, tuple[str, ...]]:
    """The day, and the groups whose plan has an evening on it; the next one that was not held, if none is
    named. Raises CoachbookError."""
    chosen = named_groups(page, groups) if groups else tuple(list_groups(page))
    terms = {group.name: terms_of(page, group.name) for group in chosen}
    days = {
        name: [each.on for term in own for each in term.plan.sessions] for name, own in terms.items() if own
    }
    if not days:
        raise CoachbookError("No group has a term plan.", "Make one with 'coachbook term plan'.")
    day = on or _next_evening(page, days, today)
    names = tuple(name for name, known in days.items() if day in known)
    if not names:
        planned = sorted(each for known in days.values() for each in known)
        later = [each for each in planned if each > day]
        hint = f"The next one is {later[0]}." if later else f"The last one is {planned[-1]}."
        fallen = any(gone.on == day for own in terms.values() for term in own for gone in term.plan.cancelled)
        raise CoachbookError(f"{day} was cancelled." if fallen else f"No evening is planned on {day}.", hint)
    return day, names


def _next_evening(page: Reading, days: Mapping[str, Sequence[date]], today: date) -> date:
    """The first of the evenings of groups that was not held. Raises CoachbookError if none is left."""
    ahead: list[date] = []
    for name, known in days.items():
        held = days_held(page, name)
        ahead += [day for day in known if day >= today and day not in held]
    if not ahead:
        raise CoachbookError("No evening is planned from today on.", "Name one, or plan a term.")
    return min(ahead)


def _prepare_group(
    page: Writing, club: str, syllabus: Syllabus, tonight: Tonight, notes: list[str]
) -> list[str]:
    """Make what is missing or has changed, and remember it: the changes in words."""
    on, group = tonight.session.on, tonight.group
    old = prepared_for(page, group, on)
    changes = [f"{name} is no longer in {group}." for name in old if name not in tonight.wanted]
    now: dict[str, Prepared] = {}
    for number, (name, wanted) in enumerate(tonight.wanted.items()):
        had = old.get(name)
        sheet = had.sheet if had is not None else ""
        if had is None or (had.wanted != wanted.in_short and not (sheet and _is_begun(page, name, sheet))):
            sheet = _make_sheet(page, club, syllabus, tonight, name, number, notes)
        now[name] = Prepared(sheet, wanted.in_short, wanted.cards)
        changes += _told_changes(name, had, now[name])
    keep_prepared(page, group, on, now)
    return changes


def _is_begun(page: Reading, student: str, sheet: str) -> bool:
    """Whether an answer of the student on the sheet is logged: then it is never replaced."""
    return student in logged_students(page, sheet)


def _told_changes(name: str, had: Prepared | None, now: Prepared) -> list[str]:
    if had is None:
        return [f"{name} is new: sheet {now.sheet or 'none'}."]
    told = []
    if had.sheet != now.sheet:
        told.append(
            f"{name}: sheet {now.sheet or 'none'} in place of {had.sheet or 'none'}, which stays in the book."
        )
    if had.cards != now.cards:
        cards, were = (", ".join(each) or "none" for each in (now.cards, had.cards))
        told.append(f"{name}: cards {cards} in place of {were}.")
    return told


def _make_sheet(
    page: Writing,
    club: str,
    syllabus: Syllabus,
    tonight: Tonight,
    student: str,
    number: int,
    notes: list[str],
) -> str:
    """A student's sheet, saved: its code, "" if there is nothing to put on it."""
    on = tonight.session.on
    # Of what is wanted, too: a sheet with other contents never has the code of one that was printed. And
    # of the student's number, not the name: an erased student's name is in no seed.
    own = str(student_named(page, student).id)
    seed = derived_seed(0, str(on), own, tonight.wanted[student].in_short)
    used = used_by(page, (student,))
    items: list[Exercise] = []
    for code, count in tonight.wanted[student].items:
        unit = syllabus.unit(code)
        found = fresh_items(unit, count, seed, used | {item.key for item in items})
        if len(found) < count:
            notes.append(f"{student}: only {len(found)} of {count} fresh positions in {unit.title}.")
        items += found
    if not items:
        return ""
    main = _main_unit(syllabus, tonight.wanted[student].items)
    sheet = Worksheet(
        code=free_code(page, syllabus, main.code, seed, on, number),
        club=club,
        unit=main.code,
        unit_title=main.title,
        level=main.level,
        level_title=syllabus.level_of(main).title,
        made_on=on,
        seed=seed,
        items=tuple(items),
        titles=titles_on(syllabus, items),
    )
    save_worksheet(page, sheet, (student,))
    return sheet.code


def _main_unit(syllabus: Syllabus, items: Sequence[tuple[str, int]]) -> Unit:
    """The unit that has the most items, of equal ones the last, as review comes first: the sheet is
    called after it."""
    return syllabus.unit(max(reversed(items), key=lambda item: item[1])[0])


def _papers_of(page: Reading, tonight: Tonight) -> GroupPapers:
    kept = prepared_for(page, tonight.group, tonight.session.on)
    sheets = {name: sound_sheet(page, each.sheet) for name, each in kept.items() if each.sheet}
    plan = term_at(page, tonight.group, tonight.session.on).plan
    cards = {name: each.cards for name, each in kept.items()}
    return GroupPapers(tonight, sheets, cards, plan.at)

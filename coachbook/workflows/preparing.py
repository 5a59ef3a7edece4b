"""Everything for an evening in one go: one file for the printer, one for the coach."""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from pathlib import Path

from coachbook.club.book import Book, Reading, Writing
from coachbook.club.groups import terms_of
from coachbook.club.results import logged_students
from coachbook.club.sheets import Prepared, keep_prepared, prepared_for
from coachbook.club.students import list_groups, student_named
from coachbook.errors import Advice, CoachbookError, InWords, Step
from coachbook.exercises.generate import derived_seed
from coachbook.files.writing import check_places
from coachbook.model.play_outs import PlayOutCard
from coachbook.model.print_options import PaperOptions
from coachbook.model.printed import EveningCover, GroupEvening, Reminder, StudentPapers, TimedSlot
from coachbook.model.progress import ReviewAdvice
from coachbook.model.syllabus import Syllabus, Unit
from coachbook.model.term_plan import PlannedSession, SlotKind, clock
from coachbook.model.worksheet import Exercise, Worksheet
from coachbook.paper.answer_key import key_pdf
from coachbook.paper.evening_pack import bundle_pdf, cover_pdf, pages_of, register_pdf
from coachbook.paper.lesson_plan import lesson_pdf
from coachbook.paper.play_out_cards import cards_pdf
from coachbook.paper.sheet_page import worksheets_pdf
from coachbook.wording.counting import shown_day
from coachbook.wording.people import advice_in_words
from coachbook.wording.plans import slot_with_reason
from coachbook.workflows.evening_needs import Tonight, tonight_of, units_of
from coachbook.workflows.members import days_held, named_groups, term_at
from coachbook.workflows.papers import papers_in
from coachbook.workflows.printed_sheets import SheetStart, save_sheet, sound_sheet
from coachbook.workflows.sheet_help import example_for
from coachbook.workflows.sheet_making import free_code, fresh_items, used_by
from coachbook.workflows.unit_papers import lesson_sheet, unit_cards

_REGISTER = ("Sheet", "Play-out")


@dataclass(frozen=True, slots=True)
class GroupPapers:
    """A group's evening with each student's sheet and cards, by name in order, and when it begins
    ("18:30", or "")."""

    tonight: Tonight
    sheets: dict[str, Worksheet]
    cards: dict[str, tuple[str, ...]]
    at: str


def evening_files(
    book: Book,
    syllabus: Syllabus,
    papers: Sequence[GroupPapers],
    on: date,
    notes: Sequence[str],
    options: PaperOptions,
    in_words: InWords,
) -> tuple[bytes, bytes, int]:
    """The PDFs for the printer and for the coach, and how many pages there are for the printer.

    Raises CoachbookError if an item is too long for any page.
    """
    parts = [part for each in papers for part in _parts(book, syllabus, each, papers, on, options)]
    counts = tuple((title, pages_of(part)) for title, part in parts)
    groups = tuple(_group_evening(each, syllabus) for each in papers)
    afterwards = in_words(Advice(Step.CLOSE_THE_EVENING, {"on": str(on)}))
    cover = EveningCover(book.club_name, on, groups, counts, afterwards, tuple(notes))
    for_coach = [("What to think of", cover_pdf(cover, options))]
    sheets = {sheet.code: sheet for each in papers for sheet in each.sheets.values()}
    if sheets:
        key = key_pdf(tuple(sheets.values()), options, _names_by_sheet(papers))
        for_coach.append(("Answer key", key))
    return (
        bundle_pdf(parts, f"Evening of {shown_day(on)}: to print"),
        bundle_pdf(for_coach, f"Evening of {shown_day(on)}: for the coach"),
        sum(pages for _, pages in counts),
    )


def _names_by_sheet(papers: Sequence[GroupPapers]) -> dict[str, list[str]]:
    names: dict[str, list[str]] = {}
    for each in papers:
        for name, sheet in each.sheets.items():
            names.setdefault(sheet.code, []).append(name)
    return names


def _parts(
    book: Book,
    syllabus: Syllabus,
    papers: GroupPapers,
    everybody: Sequence[GroupPapers],
    on: date,
    options: PaperOptions,
) -> list[tuple[str, bytes]]:
    """A group's register, lesson plans, sheets by student and cards, in the order of printing.

    A lesson that several groups have is printed with the first of them, for all; their times are on
    the cover.
    """
    group, session = papers.tonight.group, papers.tonight.session
    register = register_pdf(book.club_name, group, on, list(papers.cards), _REGISTER, options)
    parts = [(f"Register {group}", register)]
    for code in _taught(session):
        sharing = [each.tonight.group for each in everybody if code in _taught(each.tonight.session)]
        if sharing[0] != group:
            continue
        unit = syllabus.unit(code)
        slots = session.slots if len(sharing) == 1 else ()
        lesson = lesson_sheet(syllabus, unit, book.club_name, ", ".join(sharing), on, slots, papers.at)
        parts.append((f"Lesson {unit.title}", lesson_pdf(lesson, options)))
    if papers.sheets:
        copies = [(sheet, name) for name, sheet in papers.sheets.items()]
        parts.append((f"Worksheets {group}", worksheets_pdf(copies, options)))
    cards = [card for name, codes in papers.cards.items() for card in _cards(syllabus, book, name, codes)]
    if cards:
        parts.append((f"Cards {group}", cards_pdf(cards, options)))
    return parts


def _taught(session: PlannedSession) -> tuple[str, ...]:
    """What is new, or else what is practised first."""
    return units_of(session, SlotKind.NEW) or units_of(session, SlotKind.PRACTICE)[:1]


def _cards(syllabus: Syllabus, book: Book, student: str, codes: Sequence[str]) -> list[PlayOutCard]:
    return [
        card
        for unit in syllabus.units
        for card in unit_cards(unit, book.club_name, (student,))
        if card.code in codes
    ]


def _group_evening(papers: GroupPapers, syllabus: Syllabus) -> GroupEvening:
    tonight = papers.tonight
    titles = syllabus.titles
    given = tuple(
        StudentPapers(
            name,
            papers.sheets[name].code if name in papers.sheets else "",
            _holds(papers.sheets[name], titles) if name in papers.sheets else "",
            cards,
        )
        for name, cards in papers.cards.items()
    )
    missed = tuple((name, ", ".join(titles[code] for code in codes)) for name, codes in tonight.missed)
    reminders = tuple(
        reminder_of(each, papers.sheets.get(each.student), papers.cards.get(each.student, ()))
        for each in tonight.advice
    )
    return GroupEvening(tonight.group, _timed(tonight.session, titles, papers.at), given, reminders, missed)


def reminder_of(advice: ReviewAdvice, sheet: Worksheet | None, cards: Sequence[str]) -> Reminder:
    """Who is due, and what of the advice the student's papers have: they do not hold everything."""
    items = sum(item.unit == advice.unit for item in sheet.items) if sheet is not None else 0
    if advice.play_out in cards:
        give = f"card {advice.play_out}"
    elif items:
        give = f"on the sheet ({items})"
    else:
        give = "another evening: no room"
    return Reminder(advice.student, advice_in_words(advice), give)


def _holds(sheet: Worksheet, titles: dict[str, str]) -> str:
    """Such as "The rook's box (2), The queen's box (4)"."""
    codes = [item.unit for item in sheet.items]
    return ", ".join(f"{titles.get(code, code)} ({codes.count(code)})" for code in dict.fromkeys(codes))


def _timed(session: PlannedSession, titles: dict[str, str], at: str) -> tuple[TimedSlot, ...]:
    return tuple(
        TimedSlot(
            clock(at or "0:00", start).removeprefix("" if at else "0"),
            slot.minutes,
            slot_with_reason(slot, titles),
            slot.with_coach,
        )
        for start, slot in zip(session.starts, session.slots, strict=True)
    )


Progress = Callable[[int, int, str], None]
"""(done, of how many, what is being done)."""


@dataclass(frozen=True, slots=True)
class PreparedEvening:
    """What was made: the two files, whether each is as it was before, and what changed since then, in
    words; `notes` say what could not be had."""

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
    *,
    in_words: InWords,
) -> PreparedEvening:
    """Make, save and print everything for an evening (the next one in the plans from `today` on, if none
    is named) of the groups that have one, or of those named; all of it, or nothing.

    Papers that were made before are printed again just so, unless something has changed; a sheet with answers
    is never replaced, and one that is stays in the book, as it may be printed. The cover says `in_words` how
    the evening is closed. Raises CoachbookError if none of the groups has an evening then, an item is too
    long for a page, or the folder cannot be written.
    """
    with book.reading() as tx:
        day, names = _evening_of(tx, on, groups, today)
    place = folder or book.settings.papers / f"evening-{day}"
    files = (place / "print.pdf", place / "coach.pdf")
    with papers_in(place) as out:
        for file in files:
            check_places((file,))
        before = [file.read_bytes() if file.is_file() else b"" for file in files]
        with book.writing() as tx:
            papers, changes, notes = [], list[str](), list[str]()
            is_first = not any(prepared_for(tx, name, day) for name in names)
            for number, name in enumerate(names):
                progress(number, len(names) + 1, f"worksheets for {name}")
                tonight = tonight_of(tx, syllabus, name, day)
                changes += _prepare_group(tx, book.club_name, syllabus, tonight, notes)
                papers.append(_papers_of(tx, tonight))
            progress(len(names), len(names) + 1, "printing")
            *made, pages = evening_files(book, syllabus, papers, day, notes, options, in_words)
            for file, content in zip(files, made, strict=True):
                out.add(file, content)
        # Only now: paper that the book does not know could never be marked.
        out.put_in_place(kept="The evening is in the book.", again="Prepare it again, to print it.")
    shown = () if is_first else tuple(changes)
    return PreparedEvening(day, names, *files, pages, is_first, made == before, shown, tuple(notes))


def _evening_of(
    tx: Reading, on: date | None, groups: Sequence[str], today: date
) -> tuple[date, tuple[str, ...]]:
    """The day, and the groups whose plan has an evening on it; the next one that was not held, if none is
    named. Raises CoachbookError if there is none."""
    chosen = named_groups(tx, groups) if groups else tuple(list_groups(tx))
    terms = {group.name: terms_of(tx, group.name) for group in chosen}
    days = {
        name: [each.on for term in own for each in term.plan.sessions] for name, own in terms.items() if own
    }
    if not days:
        raise CoachbookError("No group has a term plan.", Advice(Step.PLAN_A_TERM))
    day = on or _next_evening(tx, days, today)
    names = tuple(name for name, known in days.items() if day in known)
    if not names:
        planned = sorted(each for known in days.values() for each in known)
        later = [each for each in planned if each > day]
        hint = f"The next one is {later[0]}." if later else f"The last one is {planned[-1]}."
        fallen = any(gone.on == day for own in terms.values() for term in own for gone in term.plan.cancelled)
        raise CoachbookError(f"{day} was cancelled." if fallen else f"No evening is planned on {day}.", hint)
    return day, names


def _next_evening(tx: Reading, days: Mapping[str, Sequence[date]], today: date) -> date:
    """The first of the evenings of groups that was not held. Raises CoachbookError if none is left."""
    ahead: list[date] = []
    for name, known in days.items():
        held = days_held(tx, name)
        ahead += [day for day in known if day >= today and day not in held]
    if not ahead:
        raise CoachbookError("No evening is planned from today on.", "Name one, or plan a term.")
    return min(ahead)


def _prepare_group(
    tx: Writing, club: str, syllabus: Syllabus, tonight: Tonight, notes: list[str]
) -> list[str]:
    """Make what is missing or has changed, and remember it: the changes in words."""
    on, group = tonight.session.on, tonight.group
    old = prepared_for(tx, group, on)
    changes = [f"{name} is no longer in {group}." for name in old if name not in tonight.wanted]
    now: dict[str, Prepared] = {}
    for number, (name, wanted) in enumerate(tonight.wanted.items()):
        had = old.get(name)
        sheet = had.sheet if had is not None else ""
        if had is None or (had.wanted != wanted.in_short and not (sheet and _is_begun(tx, name, sheet))):
            sheet = _make_sheet(tx, club, syllabus, tonight, name, number, notes)
        now[name] = Prepared(sheet, wanted.in_short, wanted.cards)
        changes += _changes_for(name, had, now[name])
    keep_prepared(tx, group, on, now)
    return changes


def _is_begun(tx: Reading, student: str, sheet: str) -> bool:
    """Whether an answer of the student on the sheet is logged: then it is never replaced."""
    return student in logged_students(tx, sheet)


def _changes_for(name: str, had: Prepared | None, now: Prepared) -> list[str]:
    if had is None:
        return [f"{name} is new: sheet {now.sheet or 'none'}."]
    changes = []
    if had.sheet != now.sheet:
        changes.append(
            f"{name}: sheet {now.sheet or 'none'} in place of {had.sheet or 'none'}, which stays in the book."
        )
    if had.cards != now.cards:
        cards, were = (", ".join(each) or "none" for each in (now.cards, had.cards))
        changes.append(f"{name}: cards {cards} in place of {were}.")
    return changes


def _make_sheet(
    tx: Writing,
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
    own = str(student_named(tx, student).id)
    seed = derived_seed(0, str(on), own, tonight.wanted[student].in_short)
    used = used_by(tx, (student,))
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
    start = SheetStart(free_code(tx, syllabus, main.code, seed, on, number), club, main, on, seed)
    example = example_for(tx, syllabus, items, (student,), on, seed)
    sheet, _ = save_sheet(tx, syllabus, start, items, (student,), example=example)
    return sheet.code


def _main_unit(syllabus: Syllabus, items: Sequence[tuple[str, int]]) -> Unit:
    """The unit that has the most items, of equal ones the last, as review comes first: the sheet is
    called after it."""
    return syllabus.unit(max(reversed(items), key=lambda item: item[1])[0])


def _papers_of(tx: Reading, tonight: Tonight) -> GroupPapers:
    kept = prepared_for(tx, tonight.group, tonight.session.on)
    sheets = {name: sound_sheet(tx, each.sheet) for name, each in kept.items() if each.sheet}
    plan = term_at(tx, tonight.group, tonight.session.on).plan
    cards = {name: each.cards for name, each in kept.items()}
    return GroupPapers(tonight, sheets, cards, plan.at)

"""Everything for an evening in one go: one file for the printer, one for the coach."""

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from pathlib import Path

from coachbook.club.book import Book, Reading, Writing
from coachbook.club.groups import terms_of
from coachbook.club.results import logged_students
from coachbook.club.sheets import Prepared, keep_prepared, prepared_for
from coachbook.club.students import list_groups
from coachbook.errors import Advice, CoachbookError, InWords, Step
from coachbook.files.writing import check_places
from coachbook.model.play_outs import PlayOutCard
from coachbook.model.print_options import PaperOptions
from coachbook.model.printed import (
    EveningCover,
    GroupEvening,
    LateStudent,
    Reminder,
    StudentPapers,
    TimedSlot,
)
from coachbook.model.progress import ReviewAdvice
from coachbook.model.syllabus import Syllabus
from coachbook.model.term_plan import PlannedSession, SlotKind, clock
from coachbook.model.worksheet import Worksheet
from coachbook.paper.answer_page import EveningAnswers, answer_pages
from coachbook.paper.bundle import Part, bundle_pdf, printer_pdf
from coachbook.paper.evening_pack import cover_pdf, register_pdf
from coachbook.paper.leaves import PaperUsed
from coachbook.paper.lesson_plan import lesson_pdf
from coachbook.paper.play_out_cards import cards_pdf
from coachbook.paper.sheet_pages import worksheets_pdf
from coachbook.term.replan import shape
from coachbook.wording.counting import shown_day
from coachbook.wording.people import advice_in_words
from coachbook.wording.plans import catch_up_in_words, listed_titles, needed_twice_in_words, slot_with_reason
from coachbook.workflows.catching_up import GroupTonight, catch_up_times, needed_twice
from coachbook.workflows.evening_needs import Tonight, tonight_of
from coachbook.workflows.evening_places import evening_files_in, evening_folder
from coachbook.workflows.evening_sheets import make_evening_sheets
from coachbook.workflows.members import days_held, named_groups, term_at
from coachbook.workflows.paper_saving import CheaperWay, cheaper_ways
from coachbook.workflows.papers import papers_in
from coachbook.workflows.printed_sheets import sound_sheet
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
) -> tuple[bytes, bytes, PaperUsed, tuple[CheaperWay, ...]]:
    """The PDFs for the printer and for the coach, what paper the printer takes, and what would take less.

    Raises CoachbookError if an item is too long for any page.
    """
    parts = [part for each in papers for part in _parts(book, syllabus, each, papers, on, options)]
    copies = {_sheets_title(each): tuple(each.sheets.values()) for each in papers if each.sheets}
    printed, used = printer_pdf(parts, f"Evening of {shown_day(on)}: to print", options)
    counts = tuple((part.title, part.pages) for part in parts)
    tonight = [_group_tonight(each) for each in papers]
    times = catch_up_times(tonight)
    notes = (*notes, *_needed_twice(tonight))
    groups = tuple(_group_evening(each, syllabus, times) for each in papers)
    afterwards = in_words(Advice(Step.CLOSE_THE_EVENING, {"on": str(on)}))
    cover = EveningCover(book.club_name, on, groups, counts, used.pages, afterwards, tuple(notes))
    for_coach = [("What to think of", cover_pdf(cover, options))]
    if any(each.sheets for each in papers):
        sheets = [
            (each.tonight.group, {name: each.sheets.get(name) for name in each.cards}) for each in papers
        ]
        for_coach += answer_pages(EveningAnswers(book.club_name, on, sheets), options)
    return (
        printed,
        bundle_pdf(for_coach, f"Evening of {shown_day(on)}: for the coach"),
        used,
        cheaper_ways(parts, copies, options),
    )


def _group_tonight(papers: GroupPapers) -> GroupTonight:
    hours, _, minutes = papers.at.partition(":")
    begins = 60 * int(hours) + int(minutes) if papers.at else 0
    units = [late.tonight for late in papers.tonight.catch_ups]
    return GroupTonight(papers.tonight.group, papers.tonight.session, begins, units)


def _needed_twice(groups: Sequence[GroupTonight]) -> Iterator[str]:
    """A line for each time at which the coach is needed in two places."""
    for minute, names in needed_twice(groups).items():
        yield needed_twice_in_words(_time(minute, ""), names)


def _parts(
    book: Book,
    syllabus: Syllabus,
    papers: GroupPapers,
    everybody: Sequence[GroupPapers],
    on: date,
    options: PaperOptions,
) -> list[Part]:
    """A group's register, lesson plans, sheets by student and cards, in the order of printing.

    A lesson that several groups have is printed with the first of them, for all; their times are on
    the cover.
    """
    group, session = papers.tonight.group, papers.tonight.session
    register = register_pdf(book.club_name, group, on, list(papers.cards), _REGISTER, options)
    parts = [Part(f"Register {group}", register, for_coach=True)]
    for code in _taught(session):
        taught = [each.tonight for each in everybody if code in _taught(each.tonight.session)]
        if taught[0].group != group:
            continue
        unit, sharing = syllabus.unit(code), ", ".join(each.group for each in taught)
        is_one_plan = len({shape(each.session) for each in taught}) == 1
        slots = session.slots if is_one_plan else ()
        lesson = lesson_sheet(syllabus, unit, book.club_name, sharing, on, slots, papers.at)
        parts.append(Part(f"Lesson {unit.title}", lesson_pdf(lesson, options), for_coach=True))
    if papers.sheets:
        copies = [(sheet, name) for name, sheet in papers.sheets.items()]
        parts.append(Part(_sheets_title(papers), worksheets_pdf(copies, options)))
    cards = [card for name, codes in papers.cards.items() for card in _cards(syllabus, book, name, codes)]
    if cards:
        parts.append(Part(f"Cards {group}", cards_pdf(cards, options), loose=True))
    return parts


def _sheets_title(papers: GroupPapers) -> str:
    return f"Worksheets {papers.tonight.group}"


def _taught(session: PlannedSession) -> tuple[str, ...]:
    """What is new, or else what is practised first."""
    return session.units(SlotKind.NEW) or session.units(SlotKind.PRACTICE)[:1]


def _cards(syllabus: Syllabus, book: Book, student: str, codes: Sequence[str]) -> list[PlayOutCard]:
    return [
        card
        for unit in syllabus.units
        for card in unit_cards(syllabus, unit, book.club_name, (student,))
        if card.code in codes
    ]


def _group_evening(
    papers: GroupPapers, syllabus: Syllabus, times: Mapping[tuple[str, str], int]
) -> GroupEvening:
    tonight = papers.tonight
    titles = syllabus.titles_in_plans
    given = tuple(
        StudentPapers(
            name,
            papers.sheets[name].code if name in papers.sheets else "",
            _holds(papers.sheets[name], titles) if name in papers.sheets else "",
            cards,
        )
        for name, cards in papers.cards.items()
    )

    def when(unit: str) -> str:
        at = times.get((tonight.group, unit))
        return _time(at, papers.at) if at is not None else ""

    missed = tuple(
        LateStudent(
            each.student,
            listed_titles(each.missed, titles),
            catch_up_in_words(
                titles[each.tonight],
                when(each.tonight),
                each.partner,
            ),
        )
        for each in tonight.catch_ups
    )
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
    """Such as "The rook's box (2), The queen's box (4)", of an assessment after its title."""
    codes = [item.unit for item in sheet.items]
    title = f"{sheet.unit_title}: " if sheet.assessed else ""
    listed = (f"{titles.get(code, code)} ({codes.count(code)})" for code in dict.fromkeys(codes))
    return title + ", ".join(listed)


def _timed(session: PlannedSession, titles: dict[str, str], at: str) -> tuple[TimedSlot, ...]:
    return tuple(
        TimedSlot(_time(start, at), slot.minutes, slot_with_reason(slot, titles), slot.with_coach)
        for start, slot in session.timed
    )


def _time(minute: int, at: str) -> str:
    """The time of day, or such as "0:20" after the start."""
    return clock(at or "0:00", minute).removeprefix("" if at else "0")


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
    paper: PaperUsed
    cheaper: tuple[CheaperWay, ...]
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
    files = evening_files_in(book, folder or evening_folder(book.settings.papers, day), day, names)
    with papers_in(files[0].parent) as out:
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
            *made, paper, cheaper = evening_files(book, syllabus, papers, day, notes, options, in_words)
            for file, content in zip(files, made, strict=True):
                out.add(file, content)
        # Only now: paper that the book does not know could never be marked.
        out.put_in_place(kept="The evening is in the book.", again="Prepare it again, to print it.")
    shown = () if is_first else tuple(changes)
    return PreparedEvening(day, names, *files, paper, cheaper, is_first, made == before, shown, tuple(notes))


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
        near = shown_day(later[0] if later else planned[-1])
        hint = f"The {'next' if later else 'last'} one is {near}."
        fallen = any(gone.on == day for own in terms.values() for term in own for gone in term.plan.cancelled)
        raise CoachbookError(
            f"{shown_day(day)} was cancelled." if fallen else f"No evening is planned on {shown_day(day)}.",
            hint,
        )
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
    stays = {
        name: had
        for name, wanted in tonight.wanted.items()
        if (had := old.get(name)) is not None
        and (wanted.is_met_by(had.wanted) or (had.sheet and _is_begun(tx, name, had.sheet)))
    }
    kept = {name: sound_sheet(tx, had.sheet) for name, had in stays.items() if had.sheet}
    missing = [name for name in tonight.wanted if name not in stays]
    sheets = kept | make_evening_sheets(tx, club, syllabus, tonight, kept, missing, notes)
    now: dict[str, Prepared] = {}
    for name, wanted in tonight.wanted.items():
        had = old.get(name)
        if had is not None and wanted.is_of_before(had.wanted):
            now[name] = had
            continue
        code = sheets[name].code if name in sheets else ""
        now[name] = Prepared(code, wanted.in_short, wanted.cards)
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


def _papers_of(tx: Reading, tonight: Tonight) -> GroupPapers:
    kept = prepared_for(tx, tonight.group, tonight.session.on)
    sheets = {name: sound_sheet(tx, each.sheet) for name, each in kept.items() if each.sheet}
    plan = term_at(tx, tonight.group, tonight.session.on).plan
    cards = {name: each.cards for name, each in kept.items()}
    return GroupPapers(tonight, sheets, cards, plan.at)

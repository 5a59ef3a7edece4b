"""The two files of an evening: what is printed for the room, and what is for the coach's eyes."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from pathlib import Path

from coachbook.club.book import Book
from coachbook.model.evening_pack import EveningCover, GroupEvening, Reminder, StudentPapers, TimedSlot
from coachbook.model.play_out_card import PlayOutCard
from coachbook.model.progress import ReviewAdvice
from coachbook.model.syllabus import Syllabus
from coachbook.model.term import PlannedSession, Slot, SlotKind, clock
from coachbook.model.worksheet import Worksheet
from coachbook.paper.bundle import bundle, pages_of
from coachbook.paper.cards import write_cards
from coachbook.paper.evening_cover import write_cover
from coachbook.paper.key import write_key
from coachbook.paper.lesson import write_lesson
from coachbook.paper.options import PaperOptions
from coachbook.paper.register import write_register
from coachbook.paper.worksheet import write_worksheets
from coachbook.workflows.cards import unit_cards
from coachbook.workflows.lesson import lesson_sheet
from coachbook.workflows.tonight import Tonight, units_of

_REGISTER = ("Sheet", "Play-out")


@dataclass(frozen=True, slots=True)
class GroupPapers:
    """A group's evening with each student's sheet and cards, by name in order, and when it begins
    ("18:30", or "")."""

    tonight: Tonight
    sheets: dict[str, Worksheet]
    cards: dict[str, tuple[str, ...]]
    at: str


def write_evening(
    book: Book,
    syllabus: Syllabus,
    papers: Sequence[GroupPapers],
    on: date,
    notes: Sequence[str],
    files: tuple[Path, Path],
    room: Path,
    options: PaperOptions,
) -> int:
    """Write both files, parts of them first in `room`: how many pages there are for the printer.

    Raises CoachbookError if one cannot be written.
    """
    printer_pdf, coach_pdf = files
    parts = [part for each in papers for part in _parts(book, syllabus, each, papers, on, room, options)]
    counts = [(title, pages_of(path)) for title, path in parts]
    groups = tuple(_told(each, syllabus) for each in papers)
    cover, key = room / "cover.pdf", room / "key.pdf"
    write_cover(EveningCover(book.club_name, on, groups, tuple(counts), tuple(notes)), cover, options)
    for_coach = [("What to think of", cover)]
    sheets = {sheet.code: sheet for each in papers for sheet in each.sheets.values()}
    if sheets:
        write_key(tuple(sheets.values()), key, options, _names_by_sheet(papers))
        for_coach.append(("Answer key", key))
    bundle(for_coach, coach_pdf, f"Evening of {on}: for the coach")
    return sum(bundle(parts, printer_pdf, f"Evening of {on}: to print"))


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
    room: Path,
    options: PaperOptions,
) -> list[tuple[str, Path]]:
    """A group's register, lesson plans, sheets by student and cards, in the order of printing.

    A lesson that several groups have is printed with the first of them, for all; their times are on
    the cover.
    """
    group, session = papers.tonight.group, papers.tonight.session
    place = room / str(len(list(room.iterdir())))
    place.mkdir()
    register = place / "register.pdf"
    write_register(book.club_name, group, on, list(papers.cards), _REGISTER, register, options)
    parts = [(f"Register {group}", register)]
    for code in _taught(session):
        sharing = [each.tonight.group for each in everybody if code in _taught(each.tonight.session)]
        if sharing[0] != group:
            continue
        lesson, unit = place / f"lesson-{code}.pdf", syllabus.unit(code)
        slots = session.slots if len(sharing) == 1 else ()
        told = lesson_sheet(syllabus, unit, book.club_name, ", ".join(sharing), on, slots, papers.at)
        write_lesson(told, lesson, options)
        parts.append((f"Lesson {unit.title}", lesson))
    if papers.sheets:
        sheets = place / "sheets.pdf"
        write_worksheets([(sheet, name) for name, sheet in papers.sheets.items()], sheets, options)
        parts.append((f"Worksheets {group}", sheets))
    cards = [card for name, codes in papers.cards.items() for card in _cards(syllabus, book, name, codes)]
    if cards:
        file = place / "cards.pdf"
        write_cards(cards, file, options)
        parts.append((f"Cards {group}", file))
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


def _told(papers: GroupPapers, syllabus: Syllabus) -> GroupEvening:
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
    return Reminder(advice.student, advice.reason, give)


def _holds(sheet: Worksheet, titles: dict[str, str]) -> str:
    """Such as "The rook's box (2), The queen's box (4)"."""
    codes = [item.unit for item in sheet.items]
    return ", ".join(f"{titles.get(code, code)} ({codes.count(code)})" for code in dict.fromkeys(codes))


def _timed(session: PlannedSession, titles: dict[str, str], at: str) -> tuple[TimedSlot, ...]:
    return tuple(
        TimedSlot(
            clock(at or "0:00", start).removeprefix("" if at else "0"),
            slot.minutes,
            _what(slot, titles),
            slot.with_coach,
        )
        for start, slot in zip(session.starts, session.slots, strict=True)
    )


def _what(slot: Slot, titles: dict[str, str]) -> str:
    """Such as "practice: The queen's box"; of what is of no unit, the reason."""
    told = titles.get(slot.unit, slot.unit)
    if not told and slot.kind is not SlotKind.BUFFER:
        told = slot.why
    return f"{slot.kind}: {told}" if told else f"{slot.kind}"

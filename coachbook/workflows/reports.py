"""Reports: a group at a glance, for a family, the term in numbers."""

from collections import Counter, defaultdict
from collections.abc import Iterable, Mapping
from datetime import date, timedelta
from pathlib import Path

import chess

from coachbook.club.book import Book
from coachbook.club.groups import terms_of
from coachbook.club.results import EveningsByUnit, attendance, evenings
from coachbook.club.students import list_groups, student_named
from coachbook.endgame.material import UnknownEndingError
from coachbook.endgame.probe import probe
from coachbook.errors import CoachbookError, Step
from coachbook.files.writing import put_in_place
from coachbook.model.facts import PlayOutResult, slip_family
from coachbook.model.play_outs import PlayOutCard
from coachbook.model.print_options import PaperOptions
from coachbook.model.printed import (
    FamilyReport,
    FrequentSlip,
    GroupOverview,
    TermSummary,
    TrendPoint,
    UnitColumn,
    UnitFigures,
)
from coachbook.model.progress import Standing, UnitProgress
from coachbook.model.syllabus import Goal, Syllabus, Unit
from coachbook.paper.family_report import family_report_pdf
from coachbook.paper.overview import overview_pdf
from coachbook.paper.term_summary import term_summary_pdf
from coachbook.progress.standing import overview, secure_on
from coachbook.wording.counting import shown_day
from coachbook.wording.people import played_in_words, slip_and_count
from coachbook.wording.plans import listed_titles
from coachbook.workflows.catching_up import missing_in
from coachbook.workflows.members import named_group
from coachbook.workflows.papers import file_name_of, file_name_of_group
from coachbook.workflows.unit_papers import unit_cards

MOST_SLIPS = 5
MOST_EVENINGS = 16


def group_overview(
    book: Book, syllabus: Syllabus, group: str | None, on: date, *, every_unit: bool = False
) -> GroupOverview:
    """A group (the only one, if none is named) on a day. Units are those that somebody has begun and the
    first that nobody has, or every one. Slips and trend are those since the start of the term that began
    last, at most the last 16 evenings. Raises CoachbookError for an unknown group, and if none is named and
    the club has not just one.
    """
    with book.reading() as tx:
        name = named_group(tx, group, Step.NAME_THE_GROUP_TO_SHOW).name
        seen = evenings(tx, group=name)
        begun = [term.plan.starts_on for term in terms_of(tx, name) if term.plan.starts_on <= on]
        missed = missing_in(tx, syllabus, name, seen, on + timedelta(days=1))
    by_student = {student: _until(on, own) for student, own in seen.items()}
    since = max(begun, default=date.min)
    progress = overview(syllabus, by_student, on)
    units = syllabus.units if every_unit else units_to_show(syllabus, progress)
    standings = {(each.student, each.unit): each.standing for each in progress}
    return GroupOverview(
        club=book.club_name,
        group=name,
        on=on,
        units=tuple(UnitColumn(unit.code, unit.title, unit.level) for unit in units),
        rows=tuple(
            (student, tuple(standings[student, unit.code] for unit in units)) for student in by_student
        ),
        slips=frequent_slips(syllabus, by_student, since),
        trend=_trend(syllabus, by_student, since),
        missed=tuple((student, listed_titles(codes, syllabus.titles)) for student, codes in missed.items()),
    )


def _until(on: date, units: EveningsByUnit) -> EveningsByUnit:
    """Those up to and including a day; no unit without any."""
    kept = {unit: tuple(each for each in seen if each.on <= on) for unit, seen in units.items()}
    return {unit: seen for unit, seen in kept.items() if seen}


def frequent_slips(
    syllabus: Syllabus, by_student: Mapping[str, EveningsByUnit], since: date
) -> tuple[FrequentSlip, ...]:
    """The slips made most often since a day, at most five, each with the units that it was made in."""
    titles = syllabus.titles
    where: defaultdict[str, Counter[str]] = defaultdict(Counter)
    for units in by_student.values():
        for code, seen in units.items():
            for slip in (slip for each in seen if each.on >= since for slip in each.all_slips):
                where[slip_family(slip)][titles.get(code, code)] += 1
    most = sorted(where.items(), key=lambda item: (-item[1].total(), item[0]))[:MOST_SLIPS]
    return tuple(
        FrequentSlip(
            slip,
            units.total(),
            slip_and_count(slip, units.total()),
            tuple(title for title, _ in units.most_common()),
        )
        for slip, units in most
    )


def units_to_show(syllabus: Syllabus, progress: tuple[UnitProgress, ...]) -> tuple[Unit, ...]:
    """The units that somebody has begun, and the first that nobody has."""
    begun = {each.unit for each in progress if each.standing is not Standing.NEW}
    first_new = next((unit.code for unit in syllabus.units if unit.code not in begun), "")
    return tuple(unit for unit in syllabus.units if unit.code in begun | {first_new})


def _trend(
    syllabus: Syllabus, by_student: Mapping[str, EveningsByUnit], since: date
) -> tuple[TrendPoint, ...]:
    met = [
        evening
        for units in by_student.values()
        for seen in units.values()
        for evening in seen
        if evening.on >= since
    ]
    days = sorted({evening.on for evening in met})[-MOST_EVENINGS:]
    secure = [0] * len(days)
    known = {unit.code: unit for unit in syllabus.units}
    for units in by_student.values():
        for code, seen in units.items():
            if code in known:
                secure = [
                    n + is_so for n, is_so in zip(secure, secure_on(known[code], seen, days), strict=True)
                ]
    return tuple(
        TrendPoint(
            day,
            sum(evening.right for evening in met if evening.on == day),
            sum(evening.tried for evening in met if evening.on == day),
            secure_then,
        )
        for day, secure_then in zip(days, secure, strict=True)
    )


_NEXT_UNITS = 2


def family_report(book: Book, syllabus: Syllabus, name: str, on: date) -> FamilyReport:
    """What a student can do, what comes next, and a position to play at home. Raises CoachbookError for an
    unknown student."""
    with book.reading() as tx:
        student = student_named(tx, name).name
        there = [mark for mark in attendance(tx, student=student) if mark.present and mark.on <= on]
        by_student = evenings(tx, student=student, until=on)
    progress = overview(syllabus, by_student, on)
    units = {standing: _units(syllabus, progress, standing) for standing in Standing}
    next_up = _next_units(syllabus, units)
    return FamilyReport(
        club=book.club_name,
        student=student,
        on=on,
        evenings=len(there),
        can=_aims(units[Standing.SECURE]),
        fading=_aims(units[Standing.FADING]),
        working=_aims(units[Standing.WORKING]),
        next_up=_aims(next_up),
        # Of what was never shown a family could not tell whether it is played right.
        at_home=_position_for_home(
            syllabus,
            (
                *units[Standing.FADING],
                *reversed(units[Standing.WORKING]),
                *reversed(units[Standing.SECURE]),
            ),
            book.club_name,
        ),
        played=_played(syllabus, by_student[student], student),
    )


_MOST_PLAYED = 3


def _played(syllabus: Syllabus, seen: EveningsByUnit, student: str) -> tuple[str, ...]:
    """What was reached at the board, of the units that come last in the syllabus."""
    told = []
    for unit in syllabus.units:
        reached = [each for met in seen.get(unit.code, ()) for each in met.play_outs if each.within]
        if reached:
            quickest = any(_is_quickest(each) for each in reached)
            told.append(played_in_words(student, unit.title, len(reached), quickest=quickest))
    return tuple(told[-_MOST_PLAYED:])


def _is_quickest(result: PlayOutResult) -> bool:
    if result.goal is not Goal.WIN or result.used is None:
        return False
    try:
        fewest = probe(chess.Board(result.fen)).moves
    except (UnknownEndingError, ValueError):  # ValueError: the book has no position there
        return False
    return fewest is not None and result.used <= fewest


def term_summary(book: Book, syllabus: Syllabus, starts_on: date, ends_on: date) -> TermSummary:
    """The club's term in numbers, without names. Raises CoachbookError if it ends before it starts."""
    if ends_on < starts_on:
        raise CoachbookError(
            f"The term ends on {shown_day(ends_on)}, before it starts on {shown_day(starts_on)}.",
            "Swap the dates.",
        )
    with book.reading() as tx:
        by_student = evenings(tx, until=ends_on)
        marks = [mark for mark in attendance(tx) if starts_on <= mark.on <= ends_on]
        groups = sum(group.size > 0 for group in list_groups(tx))
        before = _secure_counts(overview(syllabus, by_student, starts_on - timedelta(days=1)))
        now = overview(syllabus, by_student, ends_on)
    met = [
        (code, evening)
        for units in by_student.values()
        for code, seen in units.items()
        for evening in seen
        if evening.on >= starts_on
    ]
    played = [result for _, evening in met for result in evening.telling_play_outs]
    return TermSummary(
        club=book.club_name,
        starts_on=starts_on,
        ends_on=ends_on,
        students=len(by_student),
        groups=groups,
        evenings=len({mark.on for mark in marks} or {evening.on for _, evening in met}),
        present=sum(mark.present for mark in marks),
        expected=len(marks),
        right=sum(evening.right for _, evening in met),
        tried=sum(evening.tried for _, evening in met),
        play_outs=len(played),
        play_outs_within=sum(each.within for each in played),
        units=_unit_figures(syllabus, by_student, before, now, starts_on),
        slips=frequent_slips(syllabus, by_student, starts_on),
    )


def print_family_report(book: Book, report: FamilyReport, path: Path | None, options: PaperOptions) -> Path:
    """Put a family's page in place, named after the student if no path is given, in the club's folder for
    papers: where it is.

    Raises CoachbookError if it does not fit on a page, or the file cannot be written.
    """
    place = path or book.settings.papers / f"family-{file_name_of(book, report.student)}.pdf"
    put_in_place(place, family_report_pdf(report, options))
    return place


def print_term_summary(book: Book, summary: TermSummary, path: Path | None, options: PaperOptions) -> Path:
    """Put a term in numbers in place, named after its days if no path is given, in the club's folder for
    papers: where it is.

    Raises CoachbookError if the file cannot be written.
    """
    place = path or book.settings.papers / f"term-{summary.starts_on}-{summary.ends_on}.pdf"
    put_in_place(place, term_summary_pdf(summary, options))
    return place


def print_overview(book: Book, seen: GroupOverview, path: Path | None, options: PaperOptions) -> Path:
    """Put a group's overview in place, named after the group if no path is given, in the club's folder for
    papers: where it is. Raises CoachbookError if the file cannot be written."""
    place = path or book.settings.papers / f"overview-{file_name_of_group(book, seen.group)}.pdf"
    put_in_place(place, overview_pdf(seen, options))
    return place


def _units(syllabus: Syllabus, progress: Iterable[UnitProgress], standing: Standing) -> tuple[Unit, ...]:
    return tuple(syllabus.unit(each.unit) for each in progress if each.standing is standing)


def _next_units(syllabus: Syllabus, units: dict[Standing, tuple[Unit, ...]]) -> tuple[Unit, ...]:
    """The first new units that build only on what was begun."""
    new = {unit.code for unit in units[Standing.NEW]}
    ready = (unit for unit in syllabus.units if unit.code in new and not new & set(unit.prerequisites))
    return tuple(ready)[:_NEXT_UNITS]


def _aims(units: Iterable[Unit]) -> tuple[str, ...]:
    return tuple(unit.aim for unit in units)


def _position_for_home(syllabus: Syllabus, units: Iterable[Unit], club: str) -> PlayOutCard | None:
    """The first play-out of the first of these units that has one."""
    return next((card for unit in units for card in unit_cards(syllabus, unit, club, ())), None)


def _secure_counts(progress: Iterable[UnitProgress]) -> dict[str, int]:
    counts: dict[str, int] = {}
    for each in progress:
        counts[each.unit] = counts.get(each.unit, 0) + (each.standing is Standing.SECURE)
    return counts


def _unit_figures(
    syllabus: Syllabus,
    by_student: dict[str, EveningsByUnit],
    before: dict[str, int],
    now: tuple[UnitProgress, ...],
    starts_on: date,
) -> tuple[UnitFigures, ...]:
    """The units that somebody has begun, in order."""
    secure_now = _secure_counts(now)
    figures = []
    for unit in syllabus.units:
        begun = sum(each.unit == unit.code and each.standing is not Standing.NEW for each in now)
        term = [
            evening
            for units in by_student.values()
            for evening in units.get(unit.code, ())
            if evening.on >= starts_on
        ]
        if begun:
            figures.append(
                UnitFigures(
                    unit.title,
                    unit.level,
                    before.get(unit.code, 0),
                    secure_now.get(unit.code, 0),
                    begun,
                    sum(evening.right for evening in term),
                    sum(evening.tried for evening in term),
                )
            )
    return tuple(figures)

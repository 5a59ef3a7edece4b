"""A group at a glance: who stands where, what goes wrong most, and how the term went."""

from collections import Counter, defaultdict
from collections.abc import Mapping
from datetime import date

from coachbook.club.book import Book
from coachbook.club.evenings import EveningsByUnit, evenings
from coachbook.club.terms import terms_of
from coachbook.model.progress import Standing, UnitProgress
from coachbook.model.reports import FrequentSlip, GroupOverview, TrendPoint, UnitColumn
from coachbook.model.slips import slip_family, tell_slip
from coachbook.model.syllabus import Syllabus, Unit
from coachbook.progress.overview import overview
from coachbook.progress.trend import secure_on
from coachbook.workflows.groups import named_group

MOST_SLIPS = 5
MOST_EVENINGS = 16


def group_overview(
    book: Book, syllabus: Syllabus, group: str | None, on: date, *, every_unit: bool = False
) -> GroupOverview:
    """A group (the only one, if none is named) on a day. Units are those that somebody has begun and the
    first that nobody has, or every one. Slips and trend are those since the start of the term
    that began last, at most the last 16 evenings. Raises CoachbookError.
    """
    with book.reading() as page:
        name = named_group(page, group, "after 'group show'").name
        by_student = evenings(page, group=name, until=on)
        begun = [term.plan.starts_on for term in terms_of(page, name) if term.plan.starts_on <= on]
    since = max(begun, default=date.min)
    progress = overview(syllabus, by_student, on)
    units = syllabus.units if every_unit else _units_to_show(syllabus, progress)
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
    )


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
            tell_slip(slip, units.total()),
            tuple(title for title, _ in units.most_common()),
        )
        for slip, units in most
    )


def _units_to_show(syllabus: Syllabus, progress: tuple[UnitProgress, ...]) -> tuple[Unit, ...]:
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

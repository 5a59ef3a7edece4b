"""What each student did in each unit, evening by evening: the facts that standing is computed from.

Answers are summed up by the database, so that the time it takes grows with the answers of the
students asked about, and not with the whole log.
"""

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass, field
from datetime import date

from sqlalchemy import Select
from sqlalchemy import select as select_columns
from sqlmodel import col, func

from coachbook.club.book import Reading
from coachbook.club.played import observations, play_outs
from coachbook.club.results import answer_holds, is_of
from coachbook.club.rows import AnswerRow, SheetItemRow, StudentRow
from coachbook.club.students import list_students, student_named
from coachbook.model.club import Observation, PlayOutResult
from coachbook.model.progress import Evening

EveningsByUnit = dict[str, tuple[Evening, ...]]
"""One student's evenings by unit code, in order of date."""


@dataclass(slots=True)
class _Gathered:
    """An evening while it is put together."""

    right: int = 0
    tried: int = 0
    slips: list[str] = field(default_factory=list)
    play_outs: list[PlayOutResult] = field(default_factory=list)
    observations: list[Observation] = field(default_factory=list)


def evenings(
    book: Reading, *, student: str | None = None, group: str | None = None, until: date | None = None
) -> dict[str, EveningsByUnit]:
    """By name: every student of the club, the students now in a group, or the one named; each
    with the evenings up to and including `until`, and with none if there was nothing.

    All sheets of a unit on one date are one evening. A blank answer counts as tried and not
    right: it costs at most one review too many, while leaving it out could call a unit secure
    that is not. Raises CoachbookError for an unknown student or group.
    """
    gathered: defaultdict[tuple[str, str, date], _Gathered] = defaultdict(_Gathered)
    for name, unit, on, right, tried in book.session.execute(_sums(book, student, group, until)):
        evening = gathered[name, unit, on]
        evening.right, evening.tried = right, tried
    for name, unit, on, slip, count in book.session.execute(_slips(book, student, group, until)):
        gathered[name, unit, on].slips += [slip] * count
    for played in play_outs(book, student=student, group=group, until=until):
        gathered[played.student, played.unit, played.on].play_outs.append(played)
    for seen in observations(book, student=student, group=group, until=until):
        gathered[seen.student, seen.unit, seen.on].observations.append(seen)
    students = list_students(book, group) if student is None else [student_named(book, student)]
    return _by_student(gathered, (each.name for each in students))


def _by_student(
    gathered: dict[tuple[str, str, date], _Gathered], names: Iterable[str]
) -> dict[str, EveningsByUnit]:
    found: dict[str, EveningsByUnit] = {name: {} for name in names}
    for (name, unit, on), each in sorted(gathered.items(), key=lambda item: item[0]):
        evening = Evening(
            on, each.right, each.tried, tuple(each.slips), tuple(each.play_outs), tuple(each.observations)
        )
        found[name][unit] = (*found[name].get(unit, ()), evening)
    return found


def _sums(
    book: Reading, student: str | None, group: str | None, until: date | None
) -> Select[str, str, date, int, int]:
    """Name, unit, evening, how many answers right, and how many in all."""
    found = (
        select_columns(
            col(StudentRow.name),
            col(SheetItemRow.unit),
            col(AnswerRow.evening),
            func.count().filter(col(AnswerRow.is_right)),
            func.count(),
        )
        .select_from(AnswerRow)
        .join(SheetItemRow)
        .join(StudentRow, col(StudentRow.id) == AnswerRow.student_id)
        .where(answer_holds(), *is_of(book, col(AnswerRow.student_id), student, group))
        .group_by(col(StudentRow.name), col(SheetItemRow.unit), col(AnswerRow.evening))
    )
    return found if until is None else found.where(col(AnswerRow.evening) <= until)


def _slips(
    book: Reading, student: str | None, group: str | None, until: date | None
) -> Select[str, str, date, str, int]:
    """Name, unit, evening, slip, and how often: the most frequent first, then by name."""
    found = (
        select_columns(
            col(StudentRow.name),
            col(SheetItemRow.unit),
            col(AnswerRow.evening),
            col(AnswerRow.slip),
            func.count(),
        )
        .select_from(AnswerRow)
        .join(SheetItemRow)
        .join(StudentRow, col(StudentRow.id) == AnswerRow.student_id)
        .where(
            col(AnswerRow.slip) != "",
            answer_holds(),
            *is_of(book, col(AnswerRow.student_id), student, group),
        )
        .group_by(col(StudentRow.name), col(SheetItemRow.unit), col(AnswerRow.evening), col(AnswerRow.slip))
        .order_by(func.count().desc(), col(AnswerRow.slip))
    )
    return found if until is None else found.where(col(AnswerRow.evening) <= until)

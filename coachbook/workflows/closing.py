"""Closing an evening: what is still to be logged, and what moves to the next one."""

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime

from coachbook.club.book import Book, Reading
from coachbook.club.evenings_met import keep_closed
from coachbook.club.results import answers, attendance, evenings, play_outs
from coachbook.club.sheets import Prepared, prepared_for
from coachbook.club.students import list_groups, list_students
from coachbook.errors import Advice, CoachbookError, Step
from coachbook.model.facts import Attendance, Doubt, Impression
from coachbook.model.play_outs import card_code
from coachbook.model.progress import Evening, ReviewAdvice
from coachbook.model.syllabus import Syllabus
from coachbook.model.term_plan import PlanDifference, SlotKind
from coachbook.model.worksheet import Worksheet
from coachbook.progress.standing import last_telling
from coachbook.wording.counting import shown_day
from coachbook.workflows.evening_log import GivenSheet
from coachbook.workflows.evening_to_log import Days
from coachbook.workflows.joint_lessons import joint_units
from coachbook.workflows.members import (
    named_groups,
    planned_again,
    planned_session,
    planned_sessions,
    session_on,
    term_at,
)
from coachbook.workflows.planning import Together, together_with
from coachbook.workflows.playing_at_boards import stop_games
from coachbook.workflows.printed_sheets import sound_sheet
from coachbook.workflows.replanning import plan_again
from coachbook.workflows.standings import who_needs_review


@dataclass(frozen=True, slots=True)
class HalfLogged:
    """The `items` of a student's sheet that are not logged, where others are."""

    student: str
    sheet: str
    items: tuple[int, ...]


@dataclass(frozen=True, slots=True)
class ToClose:
    """What is still to be logged of a group's evening.

    `present` is None as long as attendance is not logged of everybody, and then sheets and cards are
    those of everybody. `units` are those that were planned, by code and title; `playable` the first card
    of each that has play-outs; `not_done` the titles of those that are planned again already. `unmarked` are
    those of whom no attendance is logged.
    """

    group: str
    on: date
    students: tuple[str, ...]
    present: frozenset[str] | None
    sheets: tuple[GivenSheet, ...]
    cards: tuple[tuple[str, str], ...]
    units: tuple[tuple[str, str], ...]
    playable: tuple[str, ...] = ()
    half: tuple[HalfLogged, ...] = ()
    not_done: tuple[str, ...] = ()
    unmarked: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class BringBack:
    """What a student needs review of."""

    student: str
    units: tuple[ReviewAdvice, ...]


@dataclass(frozen=True, slots=True)
class NextWeek:
    """What moves to the next evening (None if there is none): changes of the plan, who was absent and
    missed which units, whose sheets came back without answers or with some, who needs review then, who
    is due though the last time was `all_right`, why the plan was `refused` (None if it was not), and which
    other groups of the room have another plan now, `also`, and which learn `apart` from this one now."""

    on: date | None
    changes: tuple[PlanDifference, ...]
    absent: tuple[str, ...]
    missed: tuple[str, ...]
    open_sheets: tuple[tuple[str, str], ...]
    half: tuple[HalfLogged, ...]
    bring_back: tuple[BringBack, ...]
    all_right: tuple[str, ...]
    refused: CoachbookError | None = None
    also: tuple[str, ...] = ()
    apart: tuple[str, ...] = ()


def doubt_of_closing(book: Book, on: date, today: date, groups: Sequence[str]) -> Doubt | None:
    """What speaks against closing an evening of the groups (of any, if none is named); None if nothing
    does. Raises CoachbookError if none of them has a plan."""
    with book.reading() as tx:
        days, names = Days(tx, today), _names(tx, groups)
        planned = [name for name in names if days.planned(name)]
        doubts = [days.doubt(on, [name]) for name in planned]
    if not doubts:
        raise CoachbookError(
            f"No evening is planned on {shown_day(on)}.",
            Advice(Step.PLAN_A_TERM_OR_LOG),
        )
    if None in doubts:
        return None
    found = [doubt for doubt in doubts if doubt]
    near = min((each.nearest for each in found if each.nearest), key=lambda day: abs(day - on), default=None)
    last = max((each.last for each in found if each.last), default=None)
    group = " or ".join(each.group for each in found)
    return replace(found[0], group=group, nearest=near, last=last) if found[0].group else found[0]


def groups_to_close(book: Book, on: date, groups: Sequence[str]) -> tuple[str, ...]:
    """Those of the groups (of all, if none is named) whose plan has this evening; else those that held it;
    else those that are named or alone have a plan. Raises CoachbookError if there are several."""
    with book.reading() as tx:
        days = Days(tx, on)
        names = [name for name in _names(tx, groups) if days.planned(name)]
        for evenings in (days.planned, days.held):
            found = tuple(name for name in names if on in evenings(name))
            if found:
                return found
    if len(names) > 1 and not groups:
        advice = Advice(Step.NAME_A_GROUP, {"groups": ", ".join(names)})
        raise CoachbookError("Several groups have a plan.", advice)
    return tuple(names)


def _names(tx: Reading, groups: Sequence[str]) -> tuple[str, ...]:
    return tuple(group.name for group in (named_groups(tx, groups) if groups else list_groups(tx)))


def to_close(book: Book, syllabus: Syllabus, group: str, on: date) -> ToClose:
    """What is still to be logged of a group's evening. Raises CoachbookError for an unknown group."""
    titles = syllabus.titles
    with book.reading() as tx:
        session = planned_session(tx, group, on)
        students = tuple(student.name for student in list_students(tx, group))
        marks = attendance(tx, on=on, group=group)
        unmarked = _unmarked(marks, students)
        present = None if unmarked else frozenset(mark.student for mark in marks if mark.present)
        away = {mark.student for mark in marks if not mark.present}
        there = [name for name in students if name not in away]
        units = session.units(*SlotKind) if session is not None else ()
        kept = prepared_for(tx, group, on)
        open_sheets = _left_of_sheets(tx, group, kept, there)
        again = planned_again(tx, group, on)
        return ToClose(
            group,
            on,
            students,
            present,
            tuple((sheet, (name,)) for sheet, name, _ in open_sheets),
            _cards(tx, group, on, kept, there),
            tuple((code, titles.get(code, code)) for code in units),
            tuple(
                card_code(unit.code, 1) for unit in syllabus.units if unit.code in units and unit.play_outs
            ),
            tuple(
                HalfLogged(name, sheet.code, left)
                for sheet, name, left in open_sheets
                if len(left) < len(sheet.items)
            ),
            tuple(titles.get(code, code) for code in units if code in again),
            unmarked,
        )


def _unmarked(marks: Sequence[Attendance], students: Sequence[str]) -> tuple[str, ...]:
    """The students of whom it is not logged whether they were there."""
    marked = {mark.student for mark in marks}
    return tuple(name for name in students if name not in marked)


def close(
    book: Book, syllabus: Syllabus, group: str, on: date, not_done: Sequence[str], now: datetime
) -> NextWeek:
    """Close a group's evening: stop the games at its boards, plan anew what was not done, and note that it is
    closed. Raises as `move_on`."""
    stop_games(book, syllabus, group, on, now)
    moves = move_on(book, syllabus, group, on, not_done)
    with book.writing() as tx:
        keep_closed(tx, group, on, now)
    return moves


def move_on(book: Book, syllabus: Syllabus, group: str, on: date, not_done: Sequence[str]) -> NextWeek:
    """Plan anew what was not done, from the next evening on, and tell what moves; other groups that had the
    same lesson, and are not closed yet, did not finish it either. If the rest of the term cannot be planned
    anew, it says why. Raises CoachbookError for an unknown group, and if something was not done and the group
    has no plan."""
    left = to_close(book, syllabus, group, on)
    with book.reading() as tx:
        sessions = planned_sessions(tx, group)
        session = session_on(sessions, on)
        ahead = [each.on for each in sessions if each.on > on]
        again = planned_again(tx, group, on) | set(not_done)
        seen = evenings(tx, group=group, until=on)
    moved = _planned_anew(book, syllabus, group, on, not_done) if not_done else _Moved()
    absent = () if left.present is None else tuple(n for n in left.students if n not in left.present)
    taught = session.units(SlotKind.NEW) if session is not None else ()
    titles, half = syllabus.titles, {(each.student, each.sheet) for each in left.half}
    return NextWeek(
        ahead[0] if ahead else None,
        moved.changes,
        absent,
        tuple(titles.get(code, code) for code in taught if code not in again),
        tuple((name, sheet.code) for sheet, (name,) in left.sheets if (name, sheet.code) not in half),
        left.half,
        *(_to_bring_back(book, syllabus, left, ahead[0], seen) if ahead else ((), ())),
        refused=moved.refused,
        also=moved.also,
        apart=moved.apart,
    )


@dataclass(frozen=True, slots=True)
class _Moved:
    """What changes in a group's plan, which others of its room have another plan now, with which it learns
    together less than half as often, or why nothing can."""

    changes: tuple[PlanDifference, ...] = ()
    also: tuple[str, ...] = ()
    apart: tuple[str, ...] = ()
    refused: CoachbookError | None = None


def _planned_anew(book: Book, syllabus: Syllabus, group: str, on: date, not_done: Sequence[str]) -> _Moved:
    """What changes, or why nothing can."""
    with book.reading() as tx:
        plan = term_at(tx, group, on).plan
        before = _learns_with(together_with(tx, group, plan), on)
        others = _did_not_finish_either(tx, group, on, not_done)
    try:
        done = plan_again(book, syllabus, group, not_done, on, on, by_room=others)
    except CoachbookError as error:
        return _Moved(refused=error)
    also = tuple(each.planned.group for each in done.terms[1:] if each.changes)
    after = _learns_with(done.terms[0].planned.together, on)
    apart = tuple(sorted(other for other in before if 2 * after[other] < before[other]))
    return _Moved(done.terms[0].changes, also, apart)


def _did_not_finish_either(
    tx: Reading, group: str, on: date, not_done: Sequence[str]
) -> dict[str, frozenset[str]]:
    """By group of the same lesson that is not closed yet: what of it was not done."""
    found = {}
    for other, units in joint_units(tx, group, on).items():
        students = tuple(student.name for student in list_students(tx, other))
        if _unmarked(attendance(tx, on=on, group=other), students):
            found[other] = units & set(not_done)
    return found


def _learns_with(together: Together, after: date) -> Counter[str]:
    """How often something is explained to other groups together with this one after a day."""
    return Counter(other for (on, _), others in together.items() if on > after for other in others)


def _to_bring_back(
    book: Book,
    syllabus: Syllabus,
    left: ToClose,
    due_by: date,
    seen: Mapping[str, Mapping[str, Sequence[Evening]]],
) -> tuple[tuple[BringBack, ...], tuple[str, ...]]:
    """Who is to review what, most urgent first; and who is due but did everything right the last time."""
    found: dict[str, list[ReviewAdvice]] = {}
    fine: dict[str, None] = {}
    for each in who_needs_review(book, syllabus, left.group, left.on, due_by):
        if _was_all_right(last_telling(seen[each.student][each.unit])):
            fine[each.student] = None
        else:
            found.setdefault(each.student, []).append(each)
    return (
        tuple(BringBack(name, tuple(units)) for name, units in found.items()),
        tuple(name for name in fine if name not in found),
    )


def _was_all_right(evening: Evening) -> bool:
    return (
        evening.right == evening.tried
        and all(each.within for each in evening.telling_play_outs)
        and all(each.impression is not Impression.TROUBLE for each in evening.observations)
    )


def _left_of_sheets(
    tx: Reading, group: str, kept: Mapping[str, Prepared], there: Sequence[str]
) -> tuple[tuple[Worksheet, str, tuple[int, ...]], ...]:
    """The sheets made ready for those who are there, each with its student and the items that are not logged;
    those of which every item is are left out."""
    codes = {name: kept[name].sheet for name in there if name in kept and kept[name].sheet}
    sheets = {code: sound_sheet(tx, code) for code in dict.fromkeys(codes.values())}
    done = {(each.student, each.sheet, each.item) for each in answers(tx, group=group, sheets=sheets)}
    found = []
    for name, code in codes.items():
        items = range(1, len(sheets[code].items) + 1)
        left = tuple(item for item in items if (name, code, item) not in done)
        found.append((sheets[code], name, left))
    return tuple(each for each in found if each[2])


def _cards(
    tx: Reading, group: str, on: date, kept: Mapping[str, Prepared], there: Sequence[str]
) -> tuple[tuple[str, str], ...]:
    """Students with the cards they were given and that are not logged on that evening."""
    logged = {(each.student, each.card) for each in play_outs(tx, group=group) if each.on == on}
    return tuple(
        (name, card)
        for name in there
        for card in (kept[name].cards if name in kept else ())
        if (name, card) not in logged
    )

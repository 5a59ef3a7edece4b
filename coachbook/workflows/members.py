"""The club's students and groups: one by one, or many from a table."""

from collections.abc import Collection, Iterable, Iterator, Sequence
from contextlib import suppress
from dataclasses import dataclass, replace
from datetime import date, datetime, timedelta
from pathlib import Path

from coachbook.club.book import Book, Reading, Writing, create_book, open_book
from coachbook.club.evenings_met import evenings_held
from coachbook.club.groups import Held, held_by, remove_group, rename_group, terms_of, terms_of_all
from coachbook.club.names import find_near, name_key
from coachbook.club.students import (
    add_group,
    add_student,
    group_numbered,
    list_groups,
    list_students,
    put_in_group,
    student_named,
    student_numbered,
    take_out_of_group,
)
from coachbook.errors import Advice, CoachbookError, Step
from coachbook.files.reading import usual_book
from coachbook.files.unfinished import make_private_folder
from coachbook.model.facts import Group, Student
from coachbook.model.problem import Problem
from coachbook.model.term_plan import Closure, PlannedSession, Term
from coachbook.paper.text import unprintable
from coachbook.wording.counting import show_dates
from coachbook.workflows.care import safe_first
from coachbook.workflows.spreadsheet import in_line_order, read_table


def named_group(tx: Reading, name: str | None, how: Step = Step.NAME_A_GROUP) -> Group:
    """The group of this name; the only group if none is named. Raises CoachbookError for an unknown one, and,
    saying `how` a group is named, if none is and there are several or none."""
    groups = list_groups(tx)
    if name is not None:
        list_students(tx, name)  # says which groups there are if this is none of them
        return next(group for group in groups if name_key(group.name) == name_key(name))
    if len(groups) == 1:
        return groups[0]
    if not groups:
        raise CoachbookError("The club has no group yet.", Advice(Step.MAKE_A_GROUP))
    known = ", ".join(group.name for group in groups)
    raise CoachbookError("The club has several groups.", Advice(how, {"groups": known}))


def named_groups(tx: Reading, names: Sequence[str]) -> tuple[Group, ...]:
    """The groups of these names, each once; the only group if none is named. Raises CoachbookError for an
    unknown one, and if none is named and the club has not just one.

    For what can be done with all groups, too.
    """
    if not names:
        return (named_group(tx, None, Step.NAME_A_GROUP_OR_ALL),)
    return tuple({group.name: group for group in (named_group(tx, name) for name in names)}.values())


def chosen_groups(book: Book, names: Sequence[str], *, every: bool) -> tuple[str, ...]:
    """All groups of a club, or those that are named. Raises CoachbookError if both are asked for."""
    if not every:
        return tuple(names)
    if names:
        raise CoachbookError("Choose all groups or name some, not both.")
    with book.reading() as tx:
        return tuple(group.name for group in list_groups(tx))


def term_at(tx: Reading, group: str, on: date) -> Term:
    """The group's term that has a day; between terms the next one, after all of them the last. Raises
    CoachbookError if it has none."""
    terms = terms_of(tx, group)
    if not terms:
        raise CoachbookError(f"The group {group} has no term plan.", Advice(Step.PLAN_A_TERM))
    return _term_of_day(terms, on)


def _term_of_day(terms: Sequence[Term], on: date) -> Term:
    of_day = (term for term in terms if term.plan.is_for(on))
    not_over = (term for term in terms if on <= term.plan.ends_on)
    return next(of_day, next(not_over, terms[-1]))


def planned_sessions(tx: Reading, group: str) -> tuple[PlannedSession, ...]:
    """The evenings of all the group's terms, in order. Raises CoachbookError for an unknown group."""
    sessions = (session for term in terms_of(tx, group) for session in term.plan.sessions)
    return tuple(sorted(sessions, key=lambda session: session.on))


def next_evening(tx: Reading, groups: Iterable[str], first: date) -> date | None:
    """The first evening, from a day on, that one of these groups has planned; None if there is none. Raises
    CoachbookError for an unknown group."""
    days = (session.on for group in groups for session in planned_sessions(tx, group))
    return min((on for on in days if on >= first), default=None)


def planned_session(tx: Reading, group: str, on: date) -> PlannedSession | None:
    """What the group's plans have for an evening; None if there is no plan, or none for it."""
    return session_on(planned_sessions(tx, group), on) if group else None


def session_on(sessions: Iterable[PlannedSession], on: date) -> PlannedSession | None:
    """That of an evening; None if there is none."""
    return next((session for session in sessions if session.on == on), None)


def planned_again(tx: Reading, group: str, on: date) -> frozenset[str]:
    """Units of which the group's plan says by now that they were not done on an evening; none if it has no
    plan. Raises CoachbookError for an unknown group."""
    terms = terms_of(tx, group)
    not_done = _term_of_day(terms, on).plan.not_done if terms else ()
    return frozenset(each.unit for each in not_done if each.before > on)


def days_held(tx: Reading, group: str) -> frozenset[date]:
    """The days on which somebody of the group was there, or did something, by the log. Raises CoachbookError
    for an unknown group."""
    (days,) = evenings_held(tx, group).values()
    return days


def held_among(tx: Reading, group: str, days: Collection[date]) -> frozenset[date]:
    """Those of the days on which somebody of the group was there, or did something, by the log. Raises
    CoachbookError for an unknown group."""
    if not days:
        return frozenset()
    (held,) = evenings_held(tx, group, within=Closure(min(days), max(days))).values()
    return held.intersection(days)


def first_open(tx: Reading, group: str, first: date) -> date:
    """`first`, or the day after the last planned evening that the log says was held: on the night of an
    evening, what was taught on it is past. Raises CoachbookError for an unknown group."""
    held = held_among(tx, group, {session.on for session in planned_sessions(tx, group)})
    return max([first, *(on + timedelta(days=1) for on in held)])


@dataclass(frozen=True, slots=True)
class NewGroup:
    """A group that an import makes: how many students it gets, and a group that was there before and
    has much the same name, or ""."""

    name: str
    size: int
    like: str


@dataclass(frozen=True, slots=True)
class Imported:
    """What a table of students led to: how many were added, the groups that were made, and the backup of
    the book as it was (None if it was empty); or the mistakes, and then nothing was."""

    students: int
    new_groups: tuple[NewGroup, ...] = ()
    problems: tuple[Problem, ...] = ()
    before: Path | None = None


def new_club(path: Path, name: str) -> Book:
    """A new, empty book. Raises CoachbookError if there is a file already, the name is none, or the book
    cannot be written; then nothing is left behind."""
    made = [folder for folder in path.parents if not folder.exists()]
    try:
        make_private_folder(path.parent)
        return create_book(path, name)
    except OSError as error:
        raise CoachbookError(
            f"The folder {path.parent} cannot be made ({error.strerror}).",
            "Choose another place for the book.",
        ) from error
    except CoachbookError:
        for folder in made:
            with suppress(OSError):
                folder.rmdir()
        raise


def open_club(path: Path | None) -> Book:
    """The book at `path`; the usual one if none is named. From now on days are shown as its club writes them.
    Raises CoachbookError if there is no such book, or it cannot be used."""
    usual = usual_book()
    if path is None and not usual.exists():
        raise CoachbookError("There is no club yet.", Advice(Step.MAKE_A_CLUB))
    book = open_book(path or usual)
    show_dates(book.settings.dates)
    return book


def students_of(book: Book, group: str | None = None) -> tuple[Student, ...]:
    """The students of the club, or of a group, by name. Raises CoachbookError for an unknown group."""
    with book.reading() as tx:
        return tuple(list_students(tx, group))


def groups_of(book: Book) -> tuple[Group, ...]:
    """The groups by name."""
    with book.reading() as tx:
        return tuple(list_groups(tx))


def group_with(book: Book, number: int) -> Group:
    """The group with this id. Raises CoachbookError if there is none."""
    with book.reading() as tx:
        return group_numbered(tx, number)


def student_with(book: Book, number: int) -> Student:
    """The student with this id. Raises CoachbookError if there is none."""
    with book.reading() as tx:
        return student_numbered(tx, number)


def groups_without_term(book: Book) -> tuple[str, ...]:
    """The groups that have no term plan, by name."""
    with book.reading() as tx:
        planned = terms_of_all(tx)
        return tuple(group.name for group in list_groups(tx) if group.name not in planned)


def add_member(book: Book, name: str, groups: Iterable[str]) -> Student:
    """Add a student, to these groups. Raises CoachbookError for an unknown group, and for a name that is none
    or is taken."""
    with book.writing() as tx:
        return add_student(tx, name, groups)


def cannot_be_printed(names: Iterable[str]) -> tuple[str, ...]:
    """Those of the names that hold a sign which no font of coachbook's has: on paper it is a mark only."""
    return tuple(name for name in names if unprintable(name))


def add_teaching_group(book: Book, name: str) -> Group:
    """Add a group. Raises CoachbookError for a name that is none or is taken."""
    with book.writing() as tx:
        return add_group(tx, name)


def put_members(book: Book, students: Iterable[str], group: str) -> tuple[str, tuple[str, ...]]:
    """Put students in a group: its name, and who is in it then. Raises CoachbookError for an unknown name."""
    with book.writing() as tx:
        put_in_group(tx, students, group)
        return _members(tx, group)


def take_out_of_all(book: Book, name: str) -> Student:
    """Take a student out of all groups; what was done stays in the book. Returns the student as before.
    Raises CoachbookError for an unknown name."""
    with book.writing() as tx:
        student = student_named(tx, name)
        for group in student.groups:
            take_out_of_group(tx, [student.name], group)
        return student


def move_member(book: Book, number: int, groups: Collection[int]) -> Student:
    """Let a student (by id) be in these groups (by their ids) and in no others; what was done stays.

    Returns the student as it is then. Raises CoachbookError for an unknown one, and an unknown group; then
    nothing changes.
    """
    with book.writing() as tx:
        student = student_numbered(tx, number)
        wanted = [group_numbered(tx, group).name for group in groups]
        for group in student.groups:
            take_out_of_group(tx, [student.name], group)
        for group in wanted:
            put_in_group(tx, [student.name], group)
        return student_numbered(tx, number)


def member_named(book: Book, name: str) -> Student:
    """The student of this name, with the groups. Raises CoachbookError for an unknown one."""
    with book.reading() as tx:
        return student_named(tx, name)


def take_members(book: Book, students: Iterable[str], group: str) -> tuple[str, tuple[str, ...]]:
    """Take students out of a group: its name, and who is in it then. Raises CoachbookError for an unknown
    name."""
    with book.writing() as tx:
        take_out_of_group(tx, students, group)
        return _members(tx, group)


def rename_teaching_group(book: Book, old: str, new: str) -> tuple[str, str, bool]:
    """Rename a group: the name as it was, as it is, and whether it has a term plan. Raises CoachbookError for
    an unknown group, and for a name that is none or is another group's."""
    with book.writing() as tx:
        known, name = rename_group(tx, old, new)
        return known, name, bool(held_by(tx, name).plans)


def what_hangs_on(book: Book, group: str) -> Held:
    """What would go with a group, or stay without it. Raises CoachbookError for an unknown group."""
    with book.reading() as tx:
        return held_by(tx, group)


def remove_teaching_group(book: Book, group: str, now: datetime) -> Path | None:
    """Remove a group; its students stay. Returns the backup of the book as it was, None if nothing went with
    the group. Raises CoachbookError for an unknown group, or if that backup cannot be made."""
    before = None if what_hangs_on(book, group).is_empty else safe_first(book, "remove", now)
    with book.writing() as tx:
        remove_group(tx, group)
    return before


def import_students(book: Book, path: Path, now: datetime) -> Imported:
    """Add the students of a table (name, group); all of them, or none if anything is wrong.

    A group that is not there yet is made; the group may be left empty. Raises CoachbookError if the backup
    that comes first cannot be made; mistakes in the table come back as problems.
    """
    seen = preview_import(book, path)
    if seen.problems:
        return seen
    before = safe_first(book, "import", now) if students_of(book) else None
    return replace(_import(book, path, preview=False), before=before)


def preview_import(book: Book, path: Path) -> Imported:
    """What an import would lead to; nothing is kept."""
    return _import(book, path, preview=True)


def _import(book: Book, path: Path, *, preview: bool) -> Imported:
    rows, problems = read_table(path, ("name",), ("group",))
    found = list(problems)
    new: list[NewGroup] = []
    try:
        with book.writing() as tx:
            before = [group.name for group in list_groups(tx)]
            for row in rows:
                try:
                    _add(tx, row["name"], row["group"])
                except CoachbookError as error:
                    found.append(row.refused(path, error))
            new += _new_groups(tx, before)
            if found or preview:
                raise _NothingKeptError("mistakes in the table, or only looked at")
    except _NothingKeptError:
        if found:
            return Imported(0, problems=in_line_order(found))
    return Imported(len(rows), tuple(new))


def _new_groups(tx: Reading, before: list[str]) -> Iterator[NewGroup]:
    for group in list_groups(tx):
        if group.name not in before:
            yield NewGroup(group.name, group.size, find_near(group.name, before) or "")


def _add(tx: Writing, name: str, group: str) -> None:
    if group and name_key(group) not in {name_key(known.name) for known in list_groups(tx)}:
        add_group(tx, group)
    add_student(tx, name, [group] if group else [])


def _members(tx: Reading, group: str) -> tuple[str, tuple[str, ...]]:
    name = next(known.name for known in list_groups(tx) if name_key(known.name) == name_key(group))
    return name, tuple(student.name for student in list_students(tx, group))


class _NothingKeptError(CoachbookError):
    """Undoes the transaction; never shown."""

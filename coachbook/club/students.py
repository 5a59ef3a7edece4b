"""Who is in the club: students and their groups."""

from collections.abc import Iterable
from contextlib import suppress

from sqlalchemy import ColumnElement
from sqlmodel import col, delete, func, select

from coachbook.club.book import Reading, Writing
from coachbook.club.names import Roll, clean_name, name_key
from coachbook.club.rows import GroupRow, MembershipRow, StudentRow
from coachbook.errors import CoachbookError
from coachbook.model.facts import Group, Student


def add_student(tx: Writing, name: str, groups: Iterable[str] = ()) -> Student:
    """Adds a student to the club, and to these groups.

    Raises CoachbookError for a name that is none or is taken (whatever its case and
    spacing), and for a group that is not there.
    """
    name = clean_name(name, "student")
    roll_of_students(tx).check_free(name)
    roll = roll_of_groups(tx)
    group_ids = {roll.id_of(group): roll.name_of(group) for group in groups}
    row = StudentRow(name=name)
    tx.session.add(row)
    tx.session.flush()
    student = Student(row.id, name, tuple(sorted(group_ids.values(), key=in_order)))
    tx.session.add_all(MembershipRow(student_id=student.id, group_id=group_id) for group_id in group_ids)
    tx.session.flush()
    return student


def list_students(tx: Reading, group: str | None = None) -> list[Student]:
    """All students, or those of a group, in order of name. Raises CoachbookError for an unknown group."""
    chosen, memberships = (
        select(StudentRow.id, StudentRow.name),
        select(MembershipRow.student_id, GroupRow.name).join(GroupRow),
    )
    if group is not None:
        group_id = roll_of_groups(tx).id_of(group)
        members = select(MembershipRow.student_id).where(MembershipRow.group_id == group_id)
        chosen = chosen.where(col(StudentRow.id).in_(members))
        memberships = memberships.where(col(MembershipRow.student_id).in_(members))
    groups: dict[int, list[str]] = {}
    for student_id, name in tx.session.exec(memberships):
        groups.setdefault(student_id, []).append(name)
    found = [
        Student(student_id, name, tuple(sorted(groups.get(student_id, ()), key=in_order)))
        for student_id, name in tx.session.exec(chosen)
    ]
    return sorted(found, key=lambda student: in_order(student.name))


def student_named(tx: Reading, name: str) -> Student:
    """The student with this name, whatever its case, spacing and, if it is plain who is meant, accents.

    Raises CoachbookError with the nearest name if there is none, or if it could be several.
    """
    return student_numbered(tx, id_of_student(tx, name))


def student_numbered(tx: Reading, number: int) -> Student:
    """The student with this id. Raises CoachbookError if there is none."""
    name = tx.session.exec(select(StudentRow.name).where(StudentRow.id == number)).first()
    if name is None:
        raise CoachbookError("This student is no longer in the book.", "Load the page again.")
    of_groups = select(GroupRow.name).join(MembershipRow).where(MembershipRow.student_id == number)
    return Student(number, name, tuple(sorted(tx.session.exec(of_groups), key=in_order)))


def group_numbered(tx: Reading, number: int) -> Group:
    """The group with this id. Raises CoachbookError if there is none."""
    found = _groups(tx, col(GroupRow.id) == number)
    if not found:
        raise CoachbookError("This group is no longer in the book.", "Load the page again.")
    return found[0]


def add_group(tx: Writing, name: str) -> Group:
    """Adds a teaching group. Raises CoachbookError for a name that is none or is taken."""
    name = clean_name(name, "group")
    roll_of_groups(tx).check_free(name)
    row = GroupRow(name=name)
    tx.session.add(row)
    tx.session.flush()
    return Group(row.id, name, 0)


def list_groups(tx: Reading) -> list[Group]:
    """All groups in order of name."""
    return _groups(tx)


def _groups(tx: Reading, *which: ColumnElement[bool]) -> list[Group]:
    sizes = (
        select(GroupRow.id, GroupRow.name, func.count(col(MembershipRow.student_id)))
        .join(MembershipRow, isouter=True)
        .where(*which)
        .group_by(col(GroupRow.id))
    )
    groups = [Group(group_id, name, size) for group_id, name, size in tx.session.exec(sizes)]
    return sorted(groups, key=lambda group: in_order(group.name))


def put_in_group(tx: Writing, students: Iterable[str], group: str) -> None:
    """Puts students in a group; those who are in it stay. Raises CoachbookError for an unknown name."""
    group_id = roll_of_groups(tx).id_of(group)
    roll = roll_of_students(tx)
    for student_id in {roll.id_of(student) for student in students}:
        tx.session.merge(MembershipRow(student_id=student_id, group_id=group_id))
    tx.session.flush()


def take_out_of_group(tx: Writing, students: Iterable[str], group: str) -> None:
    """Takes students out of a group; what they did stays. Raises CoachbookError for an unknown name."""
    group_id = roll_of_groups(tx).id_of(group)
    roll = roll_of_students(tx)
    student_ids = {roll.id_of(student) for student in students}
    tx.session.exec(
        delete(MembershipRow).where(
            col(MembershipRow.group_id) == group_id, col(MembershipRow.student_id).in_(student_ids)
        )
    )


def in_order(name: str) -> tuple[str, str]:
    """Sorts names as a reader expects: capitals do not come first."""
    return name_key(name), name


def id_of_student(tx: Reading, name: str) -> int:
    """The id of the one student with this name. Raises CoachbookError, with the nearest name, if there is
    none, or if it could be several."""
    with suppress(UnicodeEncodeError):  # signs that are none, and in no name
        as_kept = tx.session.exec(select(StudentRow.id).where(StudentRow.name == name)).first()
        if as_kept is not None:
            return as_kept
    return roll_of_students(tx).id_of(name)


def roll_of_students(tx: Reading) -> Roll:
    """The students' ids by name, for the other parts of the club."""
    return Roll("student", tx.session.exec(select(StudentRow.name, StudentRow.id)).all())


def roll_of_groups(tx: Reading) -> Roll:
    """The groups' ids by name, for the other parts of the club."""
    return Roll("group", tx.session.exec(select(GroupRow.name, GroupRow.id)).all())

"""Who is in the club: students and their groups."""

from collections.abc import Iterable

from sqlmodel import col, delete, func, select

from coachbook.club.book import Reading, Writing
from coachbook.club.names import Roll, clean_name, name_key
from coachbook.club.rows import GroupRow, MembershipRow, StudentRow
from coachbook.model.facts import Group, Student


def add_student(book: Writing, name: str, groups: Iterable[str] = ()) -> Student:
    """Adds a student to the club, and to these groups.

    Raises CoachbookError for a name that is none or is taken (whatever its case and
    spacing), and for a group that is not there.
    """
    name = clean_name(name, "student")
    roll_of_students(book).check_free(name)
    roll = roll_of_groups(book)
    group_ids = {roll.id_of(group): roll.name_of(group) for group in groups}
    row = StudentRow(name=name)
    book.session.add(row)
    book.session.flush()
    student = Student(row.id, name, tuple(sorted(group_ids.values(), key=in_order)))
    book.session.add_all(MembershipRow(student_id=student.id, group_id=group_id) for group_id in group_ids)
    book.session.flush()
    return student


def list_students(book: Reading, group: str | None = None) -> list[Student]:
    """All students, or those of a group, in order of name. Raises CoachbookError for an unknown group."""
    groups: dict[int, list[str]] = {}
    memberships = select(MembershipRow.student_id, GroupRow.name).join(GroupRow)
    for student_id, name in book.session.exec(memberships):
        groups.setdefault(student_id, []).append(name)
    chosen = select(StudentRow)
    if group is not None:
        chosen = chosen.join(MembershipRow).where(MembershipRow.group_id == roll_of_groups(book).id_of(group))
    found = []
    for row in book.session.exec(chosen):
        row_id = row.id
        found.append(Student(row_id, row.name, tuple(sorted(groups.get(row_id, ()), key=in_order))))
    return sorted(found, key=lambda student: in_order(student.name))


def student_named(book: Reading, name: str) -> Student:
    """The student with this name, whatever its case, spacing and, if it is plain who is meant, accents.

    Raises CoachbookError with the nearest name if there is none, or if it could be several.
    """
    student_id = roll_of_students(book).id_of(name)
    return next(student for student in list_students(book) if student.id == student_id)


def add_group(book: Writing, name: str) -> Group:
    """Adds a teaching group. Raises CoachbookError for a name that is none or is taken."""
    name = clean_name(name, "group")
    roll_of_groups(book).check_free(name)
    book.session.add(GroupRow(name=name))
    book.session.flush()
    return Group(name, 0)


def list_groups(book: Reading) -> list[Group]:
    """All groups in order of name."""
    sizes = (
        select(GroupRow.name, func.count(col(MembershipRow.student_id)))
        .join(MembershipRow, isouter=True)
        .group_by(col(GroupRow.id))
    )
    groups = [Group(name, size) for name, size in book.session.exec(sizes)]
    return sorted(groups, key=lambda group: in_order(group.name))


def put_in_group(book: Writing, students: Iterable[str], group: str) -> None:
    """Puts students in a group; those who are in it stay. Raises CoachbookError for an unknown name."""
    group_id = roll_of_groups(book).id_of(group)
    roll = roll_of_students(book)
    for student_id in {roll.id_of(student) for student in students}:
        book.session.merge(MembershipRow(student_id=student_id, group_id=group_id))
    book.session.flush()


def take_out_of_group(book: Writing, students: Iterable[str], group: str) -> None:
    """Takes students out of a group; what they did stays. Raises CoachbookError for an unknown name."""
    group_id = roll_of_groups(book).id_of(group)
    roll = roll_of_students(book)
    student_ids = {roll.id_of(student) for student in students}
    book.session.exec(
        delete(MembershipRow).where(
            col(MembershipRow.group_id) == group_id, col(MembershipRow.student_id).in_(student_ids)
        )
    )


def in_order(name: str) -> tuple[str, str]:
    """Sorts names as a reader expects: capitals do not come first."""
    return name_key(name), name


def roll_of_students(book: Reading) -> Roll:
    """The students' ids by name, for the other parts of the club."""
    return Roll("student", book.session.exec(select(StudentRow.name, StudentRow.id)))


def roll_of_groups(book: Reading) -> Roll:
    """The groups' ids by name, for the other parts of the club."""
    return Roll("group", book.session.exec(select(GroupRow.name, GroupRow.id)))

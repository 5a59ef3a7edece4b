import pytest

from coachbook.club.book import Book
from coachbook.club.students import (
    add_group,
    add_student,
    list_groups,
    list_students,
    put_in_group,
    student_named,
    take_out_of_group,
)
from coachbook.errors import CoachbookError
from coachbook.model.facts import Student


def test_a_student_is_found_again_with_groups_in_order(book: Book) -> None:
    with book.writing() as w:
        add_group(w, "tuesday")
        add_group(w, "Beginners")
        added = add_student(w, " Mina  Okafor ", ["Tuesday", "beginners", "TUESDAY"])
    assert added == Student(1, "Mina Okafor", ("Beginners", "tuesday"))
    with book.reading() as r:
        assert student_named(r, "mina okafor") == added
        assert list_students(r) == [added]


def test_students_come_in_order_of_name_whatever_its_case(book: Book) -> None:
    with book.writing() as w:
        for name in ("Zoe", "ada", "Émile", "Bo"):
            add_student(w, name)
    with book.reading() as r:
        assert [student.name for student in list_students(r)] == ["ada", "Bo", "Émile", "Zoe"]


@pytest.mark.parametrize("name", ["mina", "MINA", " Mina ", "Mi\u200cna"])
def test_a_name_is_unique_whatever_its_case_and_spacing(book: Book, name: str) -> None:
    with book.writing() as w:
        add_student(w, "Mina")
    with pytest.raises(CoachbookError, match="already a student 'Mina'"), book.writing() as w:
        add_student(w, name)


def test_the_list_of_a_group_holds_its_students_only(evening_book: Book) -> None:
    with evening_book.reading() as r:
        assert [student.name for student in list_students(r, "tuesday")] == ["Mina", "Tom"]
        assert [student.name for student in list_students(r)] == ["Mina", "Noor", "Tom"]
        assert [(group.name, group.size) for group in list_groups(r)] == [("Tuesday", 2)]
        with pytest.raises(CoachbookError, match=r"no group 'Tuesdy'\. Did you mean 'Tuesday'"):
            list_students(r, "Tuesdy")


def test_students_are_put_in_a_group_and_taken_out(evening_book: Book) -> None:
    with evening_book.writing() as w:
        add_group(w, "Advanced")
        put_in_group(w, ["noor", "Mina"], "advanced")
        put_in_group(w, ["Mina"], "Advanced")
        take_out_of_group(w, ["mina", "Noor"], "tuesday")
    with evening_book.reading() as r:
        assert [(group.name, group.size) for group in list_groups(r)] == [("Advanced", 2), ("Tuesday", 1)]
        assert student_named(r, "Mina").groups == ("Advanced",)


def test_a_group_without_students_is_listed(book: Book) -> None:
    with book.writing() as w:
        assert add_group(w, "Tuesday").name == "Tuesday"
    with book.reading() as r:
        assert [(group.name, group.size) for group in list_groups(r)] == [("Tuesday", 0)]


def test_a_group_name_is_unique_and_needs_a_letter(evening_book: Book) -> None:
    for name, complaint in (("TUESDAY", "already a group 'Tuesday'"), ("", "A group needs a name")):
        with pytest.raises(CoachbookError, match=complaint), evening_book.writing() as w:
            add_group(w, name)


def test_a_student_for_an_unknown_group_is_not_added(book: Book) -> None:
    with book.writing() as w:
        with pytest.raises(CoachbookError, match="no group 'Tuesday'"):
            add_student(w, "Mina", ["Tuesday"])
        assert list_students(w) == []


def test_an_import_of_many_is_kept_as_a_whole_or_not_at_all(book: Book) -> None:
    with pytest.raises(CoachbookError, match="already a student 'Tom'"), book.writing() as w:
        for name in ("Mina", "Tom", "tom"):
            add_student(w, name)
    with book.reading() as r:
        assert list_students(r) == []


def test_an_unknown_student_is_told_with_the_nearest_name(evening_book: Book) -> None:
    with evening_book.reading() as r, pytest.raises(CoachbookError) as raised:
        student_named(r, "Mira")
    assert str(raised.value) == "There is no student 'Mira'. Did you mean 'Mina'?"

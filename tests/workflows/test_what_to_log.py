"""Which sheets are still to be logged, and whom a coach means by a number or a name."""

import pytest

from coachbook.club.book import Book
from coachbook.club.sheets import Prepared, keep_prepared
from coachbook.club.students import add_group, add_student
from coachbook.errors import CoachbookError
from coachbook.workflows.evening_to_log import class_list, given_to, picked, sheets_to_log, who_was_there
from tests.workflows.foxes import FIRST, SECOND, START, answered, given, logged, present, week

NAMES = ("Ana", "Zoë", "Łucja")


def left(book: Book, group: str | None = None) -> list[tuple[str, tuple[str, ...]]]:
    return [(sheet.code, students) for sheet, students in sheets_to_log(book, None, week(1), group)]


def test_of_the_newest_sheets_those_are_left_of_which_nothing_is_logged(foxes: Book) -> None:
    given(foxes, "Ana", FIRST, START)
    bo, ana = given(foxes, "Bo", FIRST, week(1)), given(foxes, "Ana", SECOND, week(1))
    given(foxes, "Ana", FIRST, week(2))
    assert left(foxes) == [(ana, ("Ana",)), (bo, ("Bo",))]
    logged(foxes, "Ana", ana, SECOND, week(1), "+")
    assert left(foxes) == [(bo, ("Bo",))]
    logged(foxes, "Bo", bo, FIRST, week(1), "+")
    with pytest.raises(CoachbookError, match=f"Everything on the sheets of {week(1)} is logged"):
        left(foxes)


def test_those_who_were_absent_or_of_another_group_are_not_waited_for(foxes: Book) -> None:
    with foxes.writing() as page:
        add_group(page, "Owls")
        add_student(page, "Cy", ["Owls"])
        add_student(page, "Dee", ["Owls"])
    shared = given(foxes, "Ana", FIRST, week(1), others=("Bo", "Cy", "Dee"))
    assert left(foxes) == [(shared, ("Ana", "Bo", "Cy", "Dee"))]
    present(foxes, week(1), Ana=True, Bo=False, Dee=False)
    assert left(foxes) == [(shared, ("Ana", "Cy"))]
    assert left(foxes, "owls") == [(shared, ("Cy",))]


def test_a_students_own_sheet_that_another_took_the_place_of_is_not_asked_for(foxes: Book) -> None:
    old, new = given(foxes, "Ana", FIRST, week(1)), given(foxes, "Ana", SECOND, week(1))
    assert {code for code, _ in left(foxes)} == {old, new}
    with foxes.writing() as page:
        keep_prepared(page, "Foxes", week(1), {"Ana": Prepared(new, "", ())})
    assert left(foxes) == [(new, ("Ana",))]


def test_a_sheet_that_is_named_is_logged_whatever_is_logged_of_it(foxes: Book) -> None:
    answered(foxes, "Ana", FIRST, START)
    code = given(foxes, "Bo", FIRST, week(5))
    (found,) = sheets_to_log(foxes, code, START)
    assert found == given_to(foxes, code)
    assert (found[0].code, found[1]) == (code, ("Bo",))
    with pytest.raises(CoachbookError, match="No sheet was made by"):
        sheets_to_log(foxes, None, week(-1))


@pytest.mark.parametrize(
    ("typed", "found"),
    [
        ("1", ("Ana",)),
        ("3 1", ("Ana", "Łucja")),
        ("2,3", ("Zoë", "Łucja")),
        ("zoe, ANA,", ("Ana", "Zoë")),
        ("2, lucja", ("Zoë", "Łucja")),
        ("", ()),
    ],
)
def test_students_are_picked_by_number_or_name_without_accents(typed: str, found: tuple[str, ...]) -> None:
    assert picked(NAMES, typed) == found


@pytest.mark.parametrize(
    ("typed", "told"),
    [
        ("4", "There is no card 4 in the list. Numbers are 1 to 3."),
        ("Ana late", "'Ana late': who comes late is there. Name only those who did not come."),
        ("Bob", "The list has no card 'Bob'."),
    ],
)
def test_whom_the_list_does_not_have_is_told(typed: str, told: str) -> None:
    with pytest.raises(CoachbookError) as refused:
        picked(NAMES, typed, "card")
    assert str(refused.value).startswith(told)


def test_guests_count_as_present_and_the_others_of_the_group_as_absent(foxes: Book) -> None:
    with foxes.writing() as page:
        add_group(page, "Owls")
        add_student(page, "Cy", ["Owls"])
        add_group(page, "Nobody")
    assert who_was_there(foxes, "foxes", ("cy", "bo")) == {"Ana": False, "Bo": True, "Cy": True}
    assert class_list(foxes, "Foxes") == ("Foxes", ("Ana", "Bo"))
    with pytest.raises(CoachbookError, match="Nobody has no student yet"):
        class_list(foxes, "Nobody")

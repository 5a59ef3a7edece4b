"""A list of students that was pasted: what it makes, and that a mistake in it makes nothing."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from coachbook.club.book import Book
from coachbook.errors import CoachbookError
from coachbook.workflows.members import groups_of, students_of
from coachbook.workflows.pasted_names import (
    MOST_LINES,
    add_pasted,
    add_to_group,
    preview_pasted,
    read_pasted,
)


def groups(text: str) -> list[tuple[str, list[str]]]:
    return [(group.name, [each.name for each in group.students]) for group in read_pasted(text).groups]


def told(text: str) -> list[tuple[int, str]]:
    return [(problem.line, problem.message) for problem in read_pasted(text).problems]


def in_book(book: Book) -> dict[str, tuple[str, ...]]:
    return {student.name: student.groups for student in students_of(book)}


def test_a_line_with_a_colon_begins_a_group() -> None:
    assert groups("Foxes:\nAna\nBen\n\nOwls:\nCy") == [("Foxes", ["Ana", "Ben"]), ("Owls", ["Cy"])]
    assert groups("Foxes :\nAna\nOwls:\nCy\n\n") == [("Foxes", ["Ana"]), ("Owls", ["Cy"])]


def test_a_group_without_a_name_has_a_number_that_is_free() -> None:
    assert groups("Ana\nBen\n\n\nCy") == [("Group 1", ["Ana", "Ben"]), ("Group 2", ["Cy"])]
    assert groups("group 1:\nAna\n\nCy") == [("group 1", ["Ana"]), ("Group 2", ["Cy"])]
    assert read_pasted("Ana", ["Group 1"]).groups[0].name == "Group 2"
    assert [group.is_named for group in read_pasted("Foxes:\nAna\n\nCy").groups] == [True, False]


def test_a_blank_line_below_a_name_does_not_end_the_group() -> None:
    assert groups("Foxes:\n\nAna\n") == [("Foxes", ["Ana"])]


def test_a_group_may_still_be_empty() -> None:
    assert groups("Foxes:\n\nOwls:\nCy") == [("Foxes", []), ("Owls", ["Cy"])]


@pytest.mark.parametrize(
    "line", ["Anna  Lena", "- Anna Lena", "* Anna Lena", "\t12. Anna Lena ", "3) Anna Lena"]
)
def test_marks_and_numbers_of_a_list_are_no_part_of_a_name(line: str) -> None:
    assert groups(line) == [("Group 1", ["Anna Lena"])]


def test_a_name_twice_is_told_with_both_lines() -> None:
    assert told("Foxes:\nAna\n\nOwls:\nANA") == [
        (5, "ANA stands on line 2, too; two children need two names, such as ANA B.")
    ]
    assert told("Foxes:\nAna\nfoxes:\nBen") == [(3, "the group foxes was named on line 1 already")]


def test_what_is_no_name_is_told() -> None:
    assert [line for line, _ in told("Foxes:\n???\nAna\n:\n" + 61 * "x")] == [2, 4, 5]
    assert told(" \n\n") == [(1, "there is no name in the list")]
    assert told("x\n" * (MOST_LINES + 1)) == [(MOST_LINES, f"there are more than {MOST_LINES} lines")]


@given(st.text(max_size=200))
def test_any_text_is_read_or_its_mistakes_are_told(text: str) -> None:
    pasted = read_pasted(text)
    assert pasted.groups or pasted.problems
    names = [group.name for group in pasted.groups]
    assert pasted.problems or len({name.casefold() for name in names}) == len(names)


def test_a_list_is_added_as_it_was_shown(foxes: Book) -> None:
    text = "Foxes:\nCy\n\nOwls:\nDee\nEd"
    seen = preview_pasted(foxes, text)
    assert set(in_book(foxes)) == {"Ana", "Bo"}
    assert [(each.name, each.students, each.is_new) for each in seen.groups] == [
        ("Foxes", ("Cy",), False),
        ("Owls", ("Dee", "Ed"), True),
    ]
    assert seen.students == 3
    assert add_pasted(foxes, text) == seen
    assert in_book(foxes) == {
        "Ana": ("Foxes",),
        "Bo": ("Foxes",),
        "Cy": ("Foxes",),
        "Dee": ("Owls",),
        "Ed": ("Owls",),
    }


def test_a_group_that_is_perhaps_misspelt_is_shown_with_the_one_that_is_there(foxes: Book) -> None:
    assert [each.like for each in preview_pasted(foxes, "Foxs:\nCy\n\nEd").groups] == ["Foxes", ""]


@pytest.mark.parametrize("text", ["Owls:\nCy\nana", "Owls:\nCy\nCy", "Owls:\nCy\n?", ""])
def test_with_one_mistake_nothing_is_added(foxes: Book, text: str) -> None:
    assert add_pasted(foxes, text).problems
    assert set(in_book(foxes)) == {"Ana", "Bo"}
    assert [group.name for group in groups_of(foxes)] == ["Foxes"]


def test_students_are_added_to_a_group_line_by_line(foxes: Book) -> None:
    assert add_to_group(foxes, 1, "Cy\n\n- Dee") == ("Cy", "Dee")
    assert in_book(foxes)["Dee"] == ("Foxes",)


@pytest.mark.parametrize(
    ("text", "why"),
    [
        ("Cy\nAna\nBo", "Line 2: Ana is in the book already; line 3: Bo is in the book already."),
        ("Owls:\nCy", "This list names a group."),
        ("\n", "no name"),
    ],
)
def test_to_a_group_nobody_is_added_with_a_mistake(foxes: Book, text: str, why: str) -> None:
    with pytest.raises(CoachbookError, match=why):
        add_to_group(foxes, 1, text)
    assert set(in_book(foxes)) == {"Ana", "Bo"}


def test_of_a_group_that_is_gone_that_is_told(foxes: Book) -> None:
    with pytest.raises(CoachbookError, match="no longer in the book"):
        add_to_group(foxes, 9, "Cy")

"""Files of different students never have the same name."""

import json
from datetime import date
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from coachbook.club.names import name_key
from coachbook.club.students import add_student
from coachbook.model.print_options import PaperOptions
from coachbook.workflows.papers import file_name_of, file_names
from coachbook.workflows.standings import load_syllabus
from coachbook.workflows.student_records import export_record
from tests.club.copies import empty_book


@pytest.mark.parametrize(
    ("name", "called"),
    [
        ("Ana", "ana"),
        ("Zoë O'Neil-Smith", "zoë-o-neil-smith"),
        ("नीरज", "नीरज"),
        ("ณัฐ", "ณัฐ"),
        ("../x", "---x"),
        ("می\N{ZERO WIDTH NON-JOINER}ترا", "میترا"),
    ],
)
def test_letters_and_marks_of_every_script_stay(name: str, called: str) -> None:
    assert file_names([name]) == {name: called}


def test_the_later_of_two_has_a_number() -> None:
    names = ["Anna Lena", "Anna-Lena 2", "Anna-Lena", "Anna'Lena"]
    assert [*file_names(names).values()] == ["anna-lena", "anna-lena-2", "anna-lena-3", "anna-lena-4"]


def test_names_that_differ_in_a_vowel_sign_alone_are_two() -> None:
    assert len({*file_names(["नीरज", "नारज", "नरज"]).values()}) == 3


@given(st.lists(st.text(min_size=1, max_size=60), unique_by=name_key, max_size=6))
def test_different_names_always_have_different_files(names: list[str]) -> None:
    called = file_names(names)
    assert len({name_key(each) for each in called.values()}) == len(names)
    assert all(len(each.encode()) < 200 and not {"/", "\0", "."} & {*each} for each in called.values())


def test_one_who_is_added_later_changes_no_name_and_no_file_is_anothers(tmp_path: Path) -> None:
    book = empty_book(tmp_path / "club.book", "Harbour Lane")
    for name in ("Zed Lena", "Zed-Lena"):
        with book.writing() as page:
            add_student(page, name)
    assert [file_name_of(book, name) for name in ("Zed Lena", "Zed-Lena")] == ["zed-lena", "zed-lena-2"]
    with book.writing() as page:
        add_student(page, "Zed 'Lena")
        add_student(page, "Zed'Lena")
    syllabus = load_syllabus()
    names = ("Zed Lena", "Zed-Lena", "Zed'Lena")
    for name in names:
        export_record(book, syllabus, name, date(2026, 9, 10), tmp_path / "out", PaperOptions())
    written = sorted((tmp_path / "out").glob("*.json"))
    assert [json.loads(file.read_text(encoding="utf-8"))["student"] for file in written] == [
        "Zed-Lena",
        "Zed'Lena",
        "Zed Lena",
    ]

import unicodedata

import pytest
from hypothesis import given
from hypothesis import strategies as st

from coachbook.club.names import LONGEST_NAME, Roll, clean_name, find_named, name_key, no_such
from coachbook.errors import CoachbookError

names = st.text(st.characters(categories=["L", "M", "N", "P", "Zs"]), min_size=1, max_size=30)


def test_a_name_is_kept_with_single_spaces_and_composed_letters() -> None:
    assert clean_name("  Jose\u0301   Maria ", "student") == "Jos\u00e9 Maria"


@pytest.mark.parametrize("text", ["", "   ", "-", "?!", "\u00a0"])
def test_a_name_needs_a_letter_or_digit(text: str) -> None:
    with pytest.raises(CoachbookError, match="needs a name with a letter or a digit"):
        clean_name(text, "student")


@pytest.mark.parametrize(
    "text", ["Mi\x00na", "Mina\n", "Mi\tna", "Mi\u202ena", "Mi\u200bna", "Mi\ud800na", "\u1160", "\u3164"]
)
def test_a_name_has_no_unprintable_characters(text: str) -> None:
    with pytest.raises(CoachbookError, match="cannot be printed"):
        clean_name(text, "student")


def test_a_name_has_a_longest_length() -> None:
    assert clean_name("x" * LONGEST_NAME, "student") == "x" * LONGEST_NAME
    with pytest.raises(CoachbookError, match="has 61 characters"):
        clean_name("x" * (LONGEST_NAME + 1), "student")


def test_joiners_may_be_part_of_a_name_but_do_not_tell_two_apart() -> None:
    assert clean_name("\u0645\u200c\u0646", "student") == "\u0645\u200c\u0646"
    assert name_key("\u0645\u200c\u0646") == name_key("\u0645\u0646")


@given(names)
def test_case_form_and_spacing_do_not_tell_names_apart(name: str) -> None:
    key = name_key(name)
    assert name_key(unicodedata.normalize("NFD", name)) == key
    assert name_key(f"  {name} ") == key
    assert name_key(name.casefold()) == key


@given(names.filter(lambda name: any(letter.isalnum() for letter in name)))
def test_cleaning_a_clean_name_changes_nothing(name: str) -> None:
    clean = clean_name(name, "student")
    assert clean_name(clean, "student") == clean
    assert name_key(clean) == name_key(name)


def test_strasse_and_straße_are_one_name() -> None:
    assert name_key("Anna Stra\u00dfe") == name_key("ANNA STRASSE")


def test_an_unknown_name_is_told_with_the_nearest() -> None:
    assert str(no_such("student", "Mira", ["Tom", "Mina"])) == (
        "There is no student 'Mira'. Did you mean 'Mina'?"
    )
    assert no_such("student", "Zoe", ["Tom"]).hint == "Check the spelling."
    assert no_such("student", "Zoe", []).hint == "The book has no student yet."


def test_a_roll_finds_a_name_in_any_case_and_refuses_a_taken_one() -> None:
    roll = Roll("student", [("Mina", 4)])
    assert (roll.id_of("MINA"), roll.name_of("mina")) == (4, "Mina")
    roll.check_free("Tom")
    with pytest.raises(CoachbookError, match="already a student 'Mina'"):
        roll.check_free("mina")


@pytest.mark.parametrize(
    ("typed", "name"),
    [
        ("zoe", "Zoë"),
        ("Jose Maria", "José María"),
        ("LUKASZ", "Łukasz"),
        ("Soren", "Søren"),
        ("Dordevic", "Đorđević"),
        ("Ayse Isik", "Ay\u015fe I\u015f\u0131k"),
        ("Nguyen An", "Nguyễn An"),
        ("O'Hara", "O\N{RIGHT SINGLE QUOTATION MARK}Hara"),
        ("Иван Андреи", "Иван Андрей"),
    ],
)
def test_a_name_is_found_without_its_accents(typed: str, name: str) -> None:
    assert Roll("student", [("Tom", 1), (name, 2)]).name_of(typed) == name


def test_a_name_as_it_is_spelt_goes_before_those_that_differ_in_accents() -> None:
    assert find_named("Zoe", ["Zoë", "Zoe"]) == "Zoe"
    assert find_named("zoë", ["Zoë", "Zoe"]) == "Zoë"
    with pytest.raises(CoachbookError, match="'Zoe' could be Zoé or Zoë"):
        find_named("Zoe", ["Zoë", "Zoé"])
    assert find_named("Zo", ["Zoë"]) is None


def test_vowel_signs_are_no_accents() -> None:
    assert find_named("\u0915\u0941", ["\u0915\u0947"]) is None


def test_two_students_may_differ_in_accents_alone() -> None:
    Roll("student", [("Zoë", 1)]).check_free("Zoe")


@given(names)
def test_a_name_is_among_those_that_it_names(name: str) -> None:
    assert find_named(name, ["Tom", name]) in ("Tom", name)
    assert find_named(name.upper(), [name]) == name

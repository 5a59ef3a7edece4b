"""A name is found where it stands as a word, however it is written, and nowhere else."""

import unicodedata
from collections.abc import Iterable

import pytest
from hypothesis import given
from hypothesis import strategies as st

from coachbook.club.mentions import Span, whole_names, with_replaced, words_of
from coachbook.club.names import name_key


def starred(text: str, name: str, others: Iterable[str] = ()) -> str:
    places = whole_names(text, name, others)
    return with_replaced(text, [Span(start, end, is_exact=True) for start, end in places], "*")


@pytest.mark.parametrize(
    ("text", "name", "left"),
    [
        ("Mina saw it first", "Mina", "* saw it first"),
        ("with MINA, mina and Mina's brother", "Mina", "with *, * and *'s brother"),
        ("Mina Mina", "Mina", "* *"),
        ("Minas, Mina2 and Semina", "Mina", "Minas, Mina2 and Semina"),
        ("mina  okafor\nand Mina\u00a0Okafor", "Mina Okafor", "*\nand *"),
        ("Mina-Lou (Mina)", "Mina", "*-Lou (*)"),
        ("Straße, STRASSE", "Strasse", "*, *"),
        ("Stra", "S", "Stra"),
        ("caf\u00e9 e", "e", "caf\u00e9 *"),
        ("cafe\u0301 e", "e", "cafe\u0301 *"),
        ("Zoe\u0308 and Zo\u00eb", "Zo\u00eb", "* and *"),
        ("Zoe\u0308 and Zoe", "Zoe", "Zoe\u0308 and *"),
        ("\u0645\u06cc\u200c\u0646\u0627 here", "\u0645\u06cc\u0646\u0627", "* here"),
        ("\u5c0f\u660e\u548c\u5c0f\u7ea2", "\u5c0f\u660e", "*\u548c\u5c0f\u7ea2"),
        ("\u660e\u5929", "\u660e", "\u660e\u5929"),
        ("Mina\u3055\u3093\u3068", "Mina", "*\u3055\u3093\u3068"),
        ("\ubbfc\uc544\uac00", "\ubbfc\uc544", "*\uac00"),
        ("\u1106\u1175\u1102\u1161\u11ab", "\ubbf8\ub098", "\u1106\u1175\u1102\u1161\u11ab"),
        ("\u0930\u093e\u092e\u093e \u0930\u093e\u092e", "\u0930\u093e\u092e", "\u0930\u093e\u092e\u093e *"),
        ("\u0e21\u0e32\u0e19\u0e35\u0e44\u0e1b", "\u0e21\u0e32\u0e19\u0e35", "*\u0e44\u0e1b"),
        ("", "Mina", ""),
    ],
)  # fmt: skip
def test_each_mention_is_found_and_nothing_else(text: str, name: str, left: str) -> None:
    assert starred(text, name) == left


def test_a_name_within_another_students_name_is_theirs() -> None:
    text = "Mina, Mina Okafor and Ann Mina"
    assert starred(text, "Mina", ["Mina Okafor", "Tom"]) == "*, Mina Okafor and Ann *"


def test_words_are_letters_and_digits_with_their_marks() -> None:
    text = "Zoe\u0308's 2 (राम)"
    assert [text[start:end] for start, end in words_of(text)] == ["Zoe\u0308", "s", "2", "राम"]


WORDS = st.text(st.characters(categories=["L", "M", "N"]), min_size=1, max_size=8).filter(
    lambda name: name.isalnum() and not "\u1160" <= name[0] <= "\u11ff"  # no name begins within a syllable
)
FORMS = st.sampled_from(["NFC", "NFD"])


@given(name=WORDS, before=st.text(max_size=20), after=st.text(max_size=20), form=FORMS)
def test_a_name_between_spaces_is_always_found(name: str, before: str, after: str, form: str) -> None:
    text = f"{before} {unicodedata.normalize(form, name)} {after}"  # type: ignore[arg-type]
    assert len(before) + 1 in [start for start, _ in whole_names(text, name)]


@given(text=st.text(max_size=60), name=WORDS)
def test_what_does_not_hold_the_name_is_left_as_it_is(text: str, name: str) -> None:
    if name_key(name) not in name_key(text):
        assert whole_names(text, name) == []

"""What may mean a student is found, rather too often than not; what is an ordinary word is not."""

import unicodedata

import pytest
from hypothesis import given
from hypothesis import strategies as st

from coachbook.club.mentions import find_spans


def marked(text: str, name: str, *others: str) -> str:
    """The text with [exact mentions] and <near misses>."""
    for span in reversed(find_spans(text, name, others)):
        left, right = "[]" if span.is_exact else "<>"
        text = f"{text[: span.start]}{left}{text[span.start : span.end]}{right}{text[span.end :]}"
    return text


@pytest.mark.parametrize(
    ("text", "name"),
    [
        ("[Zoë Müller] won", "Zoë Müller"),
        ("[zoë  müller]'s move", "Zoë Müller"),
        ("<Zoë Müllers> box", "Zoë Müller"),
        ("<Zoe Muller> and <zoe mueller>", "Zoë Müller"),
        ("<Zoë>, the <Müllers>", "Zoë Müller"),
        ("<Müller, Zoë>; <Muller Zoes>", "Zoë Müller"),
        ("<ZoëMüller>; <mueller.zoe>", "Zoë Müller"),
        ("[Zoe\u0308] and <ZOE>", "Zoë"),
        ("<Müller>", "Mueller"),
        ("[Mina], <mina>, <MINA>, <Minas>, <Mina2>, Semina", "Mina"),
        ("<Hany>, <Hanas>, hany, Johan", "Hana"),
        ("<Bos> and [Bo], Bobby", "Bo"),
        ("K to e4, [Lea K]. and <Lea>", "Lea K"),
        ("der Turm <der Heide>; [Lea von der Heide]", "Lea von der Heide"),
        ("[O'Neil-Smith]; <Neil>; <smiths>", "O'Neil-Smith"),
        ("明天<小明>和[王小明]", "王小明"),
        ("<ומיכל> [מיכל כהן]", "מיכל כהן"),
        ("<Анне>, <Анны>, [Анна]", "Анна"),
        ("Nothing of anybody.", "Zoë Müller"),
        ("", "Zoë"),
    ],
)
def test_the_name_and_what_comes_near_it_is_found(text: str, name: str) -> None:
    plain = text.translate(dict.fromkeys(map(ord, "[]<>")))
    assert marked(plain, name) == text


@pytest.mark.parametrize(
    ("text", "name"),
    [
        ("White will win. [Will] saw it, <WILL> did.", "Will"),
        ("She may mark it in [May]; <Maybe>", "May"),
        ("I will mark it. [Will Mark]", "Will Mark"),
        ("Then they met [Thea].", "Thea"),
        ("The king goes to the box, [King] too.", "King"),
    ],
)
def test_an_ordinary_word_with_a_small_letter_is_no_child(text: str, name: str) -> None:
    plain = text.translate(dict.fromkeys(map(ord, "[]<>")))
    assert marked(plain, name) == text


def test_an_ordinary_word_is_never_exact_even_if_the_name_is_written_so() -> None:
    assert marked("White will win", "will") == "White <will> win"


def test_the_name_of_another_student_is_theirs() -> None:
    assert marked("Zoë Berger and Zoë", "Zoë Müller", "Zoë Berger") == "Zoë Berger and <Zoë>"
    assert marked("Maya and May", "May", "Maya", "May") == "Maya and [May]"
    assert marked("Mina, Mina Okafor", "Mina", "Mina Okafor") == "[Mina], Mina Okafor"


def test_a_word_that_could_be_either_student_is_found() -> None:
    assert marked("Zoe won", "Zoë Müller", "Zoe") == "<Zoe> won"


NAMES = st.text(st.characters(categories=["L", "M", "Nd"]), min_size=1, max_size=12).filter(
    lambda name: any(sign.isalnum() for sign in name) and not unicodedata.category(name[0]).startswith("M")
)


@given(text=st.text(max_size=40), name=NAMES, other=NAMES)
def test_spans_are_in_order_and_apart_and_in_the_text(text: str, name: str, other: str) -> None:
    end = 0
    for span in find_spans(f"{text} {name} {other}s", name, (other,)):
        assert end <= span.start < span.end
        end = span.end
    assert end <= len(f"{text} {name} {other}s")


@given(name=NAMES, before=st.text(max_size=20))
def test_a_name_as_it_is_kept_is_always_found(name: str, before: str) -> None:
    at = len(before) + 1
    spans = find_spans(f"{before} {name} ", name)
    assert any(span.start <= at and span.end >= at + len(name) for span in spans)

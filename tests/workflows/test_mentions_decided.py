"""What is asked about each text that may mention a student, and what the answers decide."""

from datetime import UTC, datetime

import pytest

from coachbook.club.book import Book
from coachbook.club.free_text import Mention
from coachbook.club.log import log_observation
from coachbook.model.facts import Observation
from coachbook.workflows.care import erase_member, mentions_of
from coachbook.workflows.mentions_decided import decided, place_of, shown_mentions
from tests.workflows.foxes import FIRST, START, TITLES


def noted(book: Book, student: str, text: str, unit: str = "") -> None:
    with book.writing() as tx:
        log_observation(tx, Observation(student, unit, START, text), datetime(2026, 9, 10, 20, tzinfo=UTC))


@pytest.fixture
def found(foxes: Book) -> tuple[Mention, ...]:
    noted(foxes, "Bo", "Helped Ana, and Anas friend helped.", FIRST)
    return mentions_of(foxes, "Ana")


def test_a_text_is_shown_in_parts_with_a_code_for_each_mark(found: tuple[Mention, ...]) -> None:
    (text,) = shown_mentions(found)
    assert "".join(part.text for part in text.parts) == "Helped Ana, and Anas friend helped."
    assert [(part.text, part.is_exact) for part in text.marks] == [("Ana", True), ("Anas", False)]
    assert len({part.mark for part in text.marks}) == 2
    assert text.is_note
    assert text.where == f"A note on Bo ({FIRST}, {START}, entry 1)"
    assert FIRST in TITLES


def test_only_the_marks_that_are_ticked_are_written_over(found: tuple[Mention, ...]) -> None:
    (text,) = shown_mentions(found)
    first, second = (part.mark for part in text.marks)
    assert decided(found, (), (), "X") == {}
    assert decided(found, {first}, (), "X") == {found[0]: "Helped X, and Anas friend helped."}
    assert decided(found, {first, second}, (), "X") == {found[0]: "Helped X, and X friend helped."}


def test_a_note_can_go_as_a_whole(foxes: Book, found: tuple[Mention, ...]) -> None:
    (text,) = shown_mentions(found)
    wording = decided(found, {text.marks[0].mark}, {text.code}, "X")
    assert wording == {found[0]: None}
    assert erase_member(foxes, "Ana", wording).left == ()


def test_what_is_no_note_cannot_go(foxes: Book) -> None:
    with foxes.writing() as tx:
        tx.session.connection().exec_driver_sql("UPDATE club SET name = 'Club of Ana', folder = '/Ana'")
    found = mentions_of(foxes, "Ana")
    assert sorted(map(place_of, found)) == ["The club's name", "The folder for papers"]
    codes = {text.code for text in shown_mentions(found)}
    assert not any(text.is_note for text in shown_mentions(found))
    assert decided(found, (), codes, "X") == {}


def test_an_answer_about_another_text_counts_for_none(foxes: Book, found: tuple[Mention, ...]) -> None:
    old = shown_mentions(found)[0].marks[0].mark
    noted(foxes, "Bo", "Ana again.")
    later = [each for each in mentions_of(foxes, "Ana") if each not in found]
    assert len(later) == 1
    assert decided(later, {old}, {old}, "X") == {}

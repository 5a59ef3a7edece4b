"""Play-out cards: every position of a unit, for each student or without a name."""

import re
from dataclasses import replace
from pathlib import Path

import chess
import pytest
from pypdf import PdfReader

from coachbook.club.book import Book
from coachbook.club.students import add_student
from coachbook.errors import CoachbookError
from coachbook.model.play_outs import read_card_code
from coachbook.model.print_options import PaperOptions
from coachbook.model.syllabus import Syllabus, Unit
from coachbook.workflows.standings import load_syllabus
from coachbook.workflows.unit_papers import make_cards, unit_cards
from tests.club.copies import empty_book

SYLLABUS = load_syllabus()
WITH_PLAY_OUTS = [unit for unit in SYLLABUS.units if unit.play_outs]
WITHOUT = [unit for unit in SYLLABUS.units if not unit.play_outs]


@pytest.fixture
def book(tmp_path: Path) -> Book:
    return empty_book(tmp_path / "club.book", "Harbour Lane")


@pytest.mark.parametrize("unit", WITH_PLAY_OUTS, ids=lambda unit: str(unit.code))
def test_every_card_leads_back_to_its_play_out(unit: Unit) -> None:
    cards = unit_cards(SYLLABUS, unit, "Harbour Lane", ())
    assert [card.student for card in cards] == [""] * len(unit.play_outs)
    for card in cards:
        found = read_card_code(card.code)
        assert found is not None
        code, number = found
        play_out = SYLLABUS.unit(code).play_outs[number - 1]
        assert play_out in unit.play_outs
        assert (card.position.fen, card.allowance, card.goal) == (
            play_out.fen,
            play_out.allowance,
            play_out.goal,
        )
        assert card.white == (chess.Board(play_out.fen).turn == chess.WHITE)
    assert len({card.code for card in cards}) == len(cards)
    assert {card.level_title for card in cards} == {SYLLABUS.level_of(unit).title}


def test_each_student_gets_each_position() -> None:
    unit = WITH_PLAY_OUTS[0]
    cards = unit_cards(SYLLABUS, unit, "Harbour Lane", ("Ana", "Bo"))
    number = len(unit.play_outs)
    assert [card.student for card in cards] == ["Ana"] * number + ["Bo"] * number
    assert [card.code for card in cards[:number]] == [card.code for card in cards[number:]]


@pytest.mark.parametrize("code", ["queen-box", "hold-the-pawn"])
def test_a_printed_card_has_the_name_and_what_is_asked_for(book: Book, tmp_path: Path, code: str) -> None:
    unit = SYLLABUS.unit(code)
    with book.writing() as page:
        add_student(page, "Łucja")
    path, number = make_cards(book, SYLLABUS, unit, ("Łucja",), tmp_path / "new", PaperOptions())
    assert (path.name, number) == (f"cards-{code}-łucja.pdf", len(unit.play_outs))
    text = " ".join(PdfReader(path).pages[0].extract_text().split())
    assert text.count("Łucja") == len(unit.play_outs)
    for play_out in unit.play_outs:
        asked = "Mate in at most" if play_out.goal == "win" else "Hold the draw for"
        assert f"{asked} {play_out.allowance} moves." in text
    assert ("Stalemate" in text) == any(play_out.goal == "win" for play_out in unit.play_outs)
    assert ("Held" in text) == any(play_out.goal == "draw" for play_out in unit.play_outs)


def test_a_unit_without_play_outs_has_no_cards(book: Book, tmp_path: Path) -> None:
    with pytest.raises(CoachbookError, match="no position to play out"):
        make_cards(book, SYLLABUS, WITHOUT[0], (), tmp_path / "new", PaperOptions())
    assert not (tmp_path / "new").exists()


def test_who_asks_for_cards_of_a_unit_without_is_told_of_all_that_have_them(
    book: Book, tmp_path: Path
) -> None:
    first = WITHOUT[0]
    with pytest.raises(CoachbookError) as refused:
        make_cards(book, SYLLABUS, first, (), tmp_path, PaperOptions())
    hint = str(refused.value.hint)
    told = hint.replace(";", ",").replace(" and then", "").removesuffix(".")
    listed = [word.split(" (")[0] for word in re.split(r", (?![^(]*\))", told.partition(": ")[2])]
    assert listed == [unit.code for unit in WITH_PLAY_OUTS]
    nearest = WITH_PLAY_OUTS[0]
    assert f"{nearest.code} ({nearest.title})" in hint


def test_a_syllabus_without_a_card_says_so(book: Book, tmp_path: Path) -> None:
    unit = WITHOUT[0]
    alone = Syllabus((replace(SYLLABUS.level_of(unit), units=(unit,)),))
    with pytest.raises(CoachbookError, match="No unit has one"):
        make_cards(book, alone, unit, (), tmp_path, PaperOptions())


def test_cards_for_two_are_as_many_as_the_pairs_and_have_no_names(book: Book, tmp_path: Path) -> None:
    unit = SYLLABUS.unit("queen-box")
    students = ("Ana", "Bo", "Łucja")
    path, number = make_cards(book, SYLLABUS, unit, students, tmp_path, PaperOptions(), for_two=True)
    assert number == 2 * len(unit.play_outs)
    assert path.name == "cards-queen-box-for-two.pdf"
    assert "Ana" not in " ".join(page.extract_text() for page in PdfReader(path).pages)

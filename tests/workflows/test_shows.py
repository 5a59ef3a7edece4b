"""The lines that the syllabus shows are proven, and a line with a mistake in it is not."""

import re
from collections.abc import Iterator
from dataclasses import replace

import chess
import pytest

from coachbook.endgame.probe import Result, probe
from coachbook.model.shown_claims import claims_in
from coachbook.model.syllabus import Goal, Show, ShownMove, Syllabus, Unit
from coachbook.wording.show_sentences import shown_words
from coachbook.workflows.standings import load_syllabus
from coachbook.workflows.syllabus_truth import show_faults
from tests.shipped import UNITS, each_unit

SYLLABUS = load_syllabus()
MOST_WORDS = 25


def faults(unit: Unit, *shows: Show) -> list[tuple[str, str]]:
    """Those of the unit if it showed these lines."""
    changed = replace(unit, shows=shows)
    levels = tuple(
        replace(level, units=tuple(changed if each.code == unit.code else each for each in level.units))
        for level in SYLLABUS.levels
    )
    return [*show_faults(Syllabus(levels), changed)]


@each_unit
def test_every_unit_shows_a_line_and_each_is_proven(unit: Unit) -> None:
    assert unit.shows
    assert [*show_faults(SYLLABUS, unit)] == []


@each_unit
def test_the_students_moves_never_give_the_result_away_by_the_tables(unit: Unit) -> None:
    for show in unit.shows:
        board = chess.Board(show.fen)
        student = board.turn
        for shown in show.line:
            mine = board.turn == student
            board.push_san(shown.san)
            kept = Result.LOSS if unit.demonstration_goal is Goal.WIN else Result.DRAW
            assert not mine or probe(board).result <= kept


def _with_claims(unit: Unit) -> Iterator[tuple[Show, int]]:
    for show in unit.shows:
        for number, shown in enumerate(show.line):
            if any(claims_in(shown.words)):
                yield show, number


def _changed(words: str) -> Iterator[str]:
    """The words with one number or square in braces made another."""
    for claim in claims_in(words):
        for found in re.finditer(r"\d+", claim):
            other = (
                f"{claim[: found.start()]}{int(found[0]) % 7 + 1 + (int(found[0]) % 7 + 1 == int(found[0]))}"
            )
            yield words.replace(f"{{{claim}}}", f"{{{other}{claim[found.end() :]}}}")


def test_a_claim_with_another_number_or_square_is_told_unless_it_is_true_too() -> None:
    told = tried = 0
    for unit in UNITS:
        for show, number in _with_claims(unit):
            for words in _changed(show.line[number].words):
                moves = [*show.line]
                moves[number] = ShownMove(moves[number].san, words)
                found = faults(unit, replace(show, line=(*moves,)))
                tried += 1
                told += any(where == f"show[1].line[{number + 1}]" for where, _ in found)
    assert tried > 50
    assert told >= 0.9 * tried


def test_a_move_that_gives_the_win_away_is_told() -> None:
    unit = SYLLABUS.unit("queen-mates")
    show = Show(unit.demonstration, (ShownMove("Qf7", "Shut in."),), "stalemate")
    found = faults(unit, show)
    assert ("show[1].line[1]", "Qf7 gives the win away") in found
    assert any("is no move of queen-box; it has Kb2" in fault for _, fault in found)


def test_a_line_that_does_not_end_as_it_says_is_told() -> None:
    unit = SYLLABUS.unit("queen-mates")
    show = replace(unit.shows[0], line=unit.shows[0].line[:3])
    assert faults(unit, show) == [("show[1].until", "the line does not end with 'mate'")]


def test_a_rule_of_an_earlier_unit_binds_and_one_of_a_later_unit_does_not() -> None:
    line = (ShownMove("Qh4", "Any safe move."),)
    for code, bound in (("mate-in-one", False), ("queen-walls", True)):
        show = Show("4k3/8/8/8/3Q4/8/8/K7 w - - 0 1", line, "squares 4")
        broken = [fault for _, fault in faults(SYLLABUS.unit(code), show) if "no move of" in fault]
        assert bool(broken) == bound


@pytest.mark.parametrize("unit", SYLLABUS.units, ids=lambda unit: str(unit.code))
def test_no_sentence_is_too_long_to_be_said(unit: Unit) -> None:
    for show in unit.shows:
        for shown in show.line:
            for sentence in re.split(r"(?<=[.!?]) ", shown_words(shown.words)):
                assert len(sentence.split()) <= MOST_WORDS, sentence

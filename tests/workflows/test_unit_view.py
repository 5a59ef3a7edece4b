"""A unit for a screen says what its lesson plan says, and its lines can be walked through."""

import chess
import pytest

from coachbook.errors import CoachbookError
from coachbook.model.syllabus import Unit
from coachbook.workflows.unit_papers import shown_lines
from coachbook.workflows.unit_view import shown_moments, shown_rules, unit_view
from tests.workflows.foxes import SYLLABUS

ENGLISH, SWEDISH = "KQRBN", "KDTLS"


@pytest.mark.parametrize("unit", SYLLABUS.units, ids=lambda unit: str(unit.code))
def test_every_line_can_be_walked_through_to_its_end(unit: Unit) -> None:
    assert unit_view(SYLLABUS, unit.code, ENGLISH).unit == unit
    for number, line in enumerate(shown_lines(unit), start=1):
        moments = shown_moments(unit, number, ENGLISH)
        assert moments[0].position == line.start
        assert moments[-1].position == line.end
        assert [each.move for each in moments[1:]] == [f"{step.number} {step.san}" for step in line.steps]
        assert [each.ends for each in moments if each.ends] == [line.ends]


def test_moves_are_written_with_the_clubs_letters() -> None:
    unit = SYLLABUS.unit("queen-box")
    assert shown_moments(unit, 1, SWEDISH)[1].move == "1. Dc5"
    assert "Dg7#" in shown_moments(unit, 1, SWEDISH)[-1].move
    assert any(" D" in f" {each.caption}" for each in shown_rules(unit, SWEDISH).rules)


def test_a_line_that_is_not_there_is_refused() -> None:
    for line in (0, 2, -1):
        with pytest.raises(CoachbookError, match="shows no such line"):
            shown_moments(SYLLABUS.unit("queen-box"), line, ENGLISH)


def test_a_rule_has_the_board_on_which_it_decides() -> None:
    rules = shown_rules(SYLLABUS.unit("king-and-pawn"), ENGLISH)
    assert [rule.label for rule in rules.rules] == [f"{number}" for number in range(1, 8)]
    assert [rule.label for rule in rules.pictures] == list("ABCDEF")
    pictured = [rule for rule in rules.rules if rule.position is not None]
    assert len(pictured) >= 5
    for rule in pictured:
        assert rule.position is not None
        assert chess.Board(rule.position.fen).is_valid()
        assert rule.caption
    assert rules.proof.startswith("KPK: proven from")


def test_the_stages_of_an_ending_are_its_rules() -> None:
    rules = shown_rules(SYLLABUS.unit("two-bishops"), ENGLISH)
    assert rules.rules
    assert all(rule.position is None for rule in rules.rules)
    assert "each stage can be forced" in rules.proof


def test_a_unit_without_rules_has_no_such_page() -> None:
    with pytest.raises(CoachbookError, match="has no rules of its own"):
        shown_rules(SYLLABUS.unit("mate-in-one"), ENGLISH)

"""A lesson plan's demonstration is computed, and its turning points are boards."""

from datetime import date

import chess
import pytest

from coachbook.exercises.kinds import next_rule
from coachbook.method.methods import find_method
from coachbook.method.queen_box import QUEEN_BOX
from coachbook.method.rook_box import ROOK_BOX
from coachbook.method.rules import Method
from coachbook.method.two_majors import TWO_MAJORS
from coachbook.model.syllabus import Unit
from coachbook.wording.exercises import option_words
from coachbook.workflows.standings import load_syllabus
from coachbook.workflows.unit_papers import lesson_sheet, rules_in_words

SYLLABUS = load_syllabus()


@pytest.mark.parametrize("unit", SYLLABUS.units, ids=lambda unit: str(unit.code))
def test_the_demonstration_of_every_unit_is_a_legal_line_with_boards(unit: Unit) -> None:
    sheet = lesson_sheet(SYLLABUS, unit, "Club", "Group", date(2026, 9, 10), ())
    assert 1 <= len(sheet.demonstration_boards) <= 5
    assert sheet.demonstration_boards[0][0] == sheet.demonstration.start
    board = chess.Board(sheet.demonstration.start.fen)
    shown = [position.fen for position, _, _ in sheet.demonstration_boards]
    for step in sheet.demonstration.steps:
        if board.fen() in shown:
            shown.remove(board.fen())
        board.push_san(step.move)
        if step.reply:
            board.push_san(step.reply)
    assert shown == []


@pytest.mark.parametrize("unit", [u for u in SYLLABUS.units if u.method], ids=lambda unit: str(unit.code))
def test_a_unit_with_a_method_has_its_rules_and_its_proof_in_a_line(unit: Unit) -> None:
    method = find_method(unit.method)
    assert method is not None
    sheet = lesson_sheet(SYLLABUS, unit, "Club", "Group", date(2026, 9, 10), ())
    assert [rule.words for rule in sheet.rules] == [rule.words for rule in method.told]
    assert "positions" in sheet.proof_line


@pytest.mark.parametrize("method", [QUEEN_BOX, ROOK_BOX, TWO_MAJORS], ids=lambda method: str(method.name))
def test_what_a_worksheet_has_to_tick_stands_before_the_rules_of_the_card(method: Method) -> None:
    unit = next(unit for unit in SYLLABUS.units if unit.method == method.name)
    draft = next_rule.KIND.draft(chess.Board(unit.demonstration))
    assert draft is not None
    told = [rule.short for rule in rules_in_words(method)]
    told.remove(method.never.name)  # It chooses no move: nobody can follow it next.
    assert list(map(option_words, draft.answer.options)) == told

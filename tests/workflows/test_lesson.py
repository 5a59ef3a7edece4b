"""A lesson plan shows what its unit shows, in words; its rules are those of the method."""

from dataclasses import replace
from datetime import date
from pathlib import Path

import chess
import pytest

from coachbook.exercises.kinds import find_kind, next_rule
from coachbook.method.methods import find_method
from coachbook.method.queen_box import QUEEN_BOX
from coachbook.method.rook_box import ROOK_BOX
from coachbook.method.rules import Method
from coachbook.method.two_majors import TWO_MAJORS
from coachbook.model.print_options import PaperOptions, PaperSize
from coachbook.model.syllabus import Unit
from coachbook.model.term_plan import SlotKind
from coachbook.paper.lesson_plan import lesson_pdf
from coachbook.wording.exercises import option_words
from coachbook.workflows.standings import load_syllabus
from coachbook.workflows.unit_papers import (
    homework,
    lesson_sheet,
    new_kinds,
    rules_in_words,
    shown_lines,
    usual_slots,
)
from tests.paper import printed
from tests.shipped import each_unit, marked
from tests.workflows.test_plain_words import banned_in

SYLLABUS = load_syllabus()
DAY = date(2026, 9, 10)


@pytest.mark.parametrize("unit", SYLLABUS.units, ids=lambda unit: str(unit.code))
def test_a_lesson_shows_the_lines_of_its_unit_move_by_move(unit: Unit) -> None:
    shown = shown_lines(unit)
    assert len(shown) == len(unit.shows) >= 1
    for line in shown:
        board = chess.Board(line.start.fen)
        for step in line.steps:
            assert step.number == f"{board.fullmove_number}{'.' if board.turn else '...'}"
            assert "{" not in step.words
            board.push_san(step.san)
        assert board.fen() == line.end.fen
        assert line.ends


def test_a_unit_that_shows_nothing_has_its_position_on_a_board() -> None:
    unit = replace(SYLLABUS.unit("hold-the-pawn"), shows=())
    (line,) = shown_lines(unit)
    assert (line.start.fen, line.task) == (unit.demonstration, "Black moves first, and is to hold the draw.")
    assert (line.steps, line.ends) == ((), "")


@pytest.mark.full
@each_unit
def test_a_lesson_stands_on_two_pages_of_either_paper_in_plain_words_with_homework(
    unit: Unit, tmp_path: Path
) -> None:
    sheet = lesson_sheet(SYLLABUS, unit, "Club", "Group", DAY, ())
    for size in PaperSize:
        (tmp_path / "lesson.pdf").write_bytes(lesson_pdf(sheet, PaperOptions(size)))
        pages = printed.texts(tmp_path / "lesson.pdf")
        assert len(pages) <= 2
    assert banned_in(" ".join(" ".join(pages).split())) == []
    assert sheet.homework is not None
    assert sheet.homework == homework(unit, DAY)
    assert sheet.homework.unit == unit.code
    assert not find_kind(sheet.homework.kind).reads_card


def test_each_kind_of_exercise_is_new_in_the_first_unit_that_has_it_and_nowhere_else() -> None:
    told = [kind for unit in SYLLABUS.units for kind in new_kinds(SYLLABUS, unit)]
    assert sorted(told) == sorted({use.kind for unit in SYLLABUS.units for use in unit.kinds})
    first, second, *_ = SYLLABUS.units
    assert new_kinds(SYLLABUS, first) == ("final_position", "build_position")
    assert new_kinds(SYLLABUS, second) == ("every_mate",)
    assert lesson_sheet(SYLLABUS, second, "Club", "Group", DAY, ()).new_kinds == ("every_mate",)


@pytest.mark.parametrize("minutes", [5, 30, 45, 60, 75, 90, 600])
@pytest.mark.parametrize("with_play_outs", [True, False])
def test_a_lesson_made_alone_shares_out_its_minutes(minutes: int, with_play_outs: bool) -> None:
    unit = SYLLABUS.unit("queen-box")
    unit = replace(unit, minutes=minutes, play_outs=unit.play_outs if with_play_outs else ())
    slots = usual_slots(unit)
    assert minutes <= sum(slot.minutes for slot in slots) <= max(minutes, 10)
    assert all(slot.minutes > 0 for slot in slots)
    assert with_play_outs or all(slot.kind is not SlotKind.PLAY_OUT for slot in slots)


@pytest.mark.parametrize("unit", marked(unit for unit in SYLLABUS.units if unit.method))
def test_a_unit_with_a_method_has_its_rules_and_its_proof_in_a_line(unit: Unit) -> None:
    method = find_method(unit.method)
    assert method is not None
    sheet = lesson_sheet(SYLLABUS, unit, "Club", "Group", DAY, ())
    assert [rule.words for rule in sheet.rules] == [rule.card_words for rule in method.told]
    assert "positions" in sheet.proof_line


@pytest.mark.parametrize("method", [QUEEN_BOX, ROOK_BOX, TWO_MAJORS], ids=lambda method: str(method.name))
def test_what_a_worksheet_has_to_tick_stands_before_the_rules_of_the_card(method: Method) -> None:
    unit = next(unit for unit in SYLLABUS.units if unit.method == method.name)
    draft = next_rule.KIND.draft(chess.Board(unit.demonstration))
    assert draft is not None
    told = [rule.short for rule in rules_in_words(method)]
    told.remove(method.never.name)  # It chooses no move: nobody can follow it next.
    assert list(map(option_words, draft.answer.options)) == told

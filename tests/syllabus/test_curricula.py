"""The syllabus as a whole: its levels in order, each unit complete, each position as it is said to be."""

import chess
import pytest

from coachbook.endgame.large_table import MOST_MEN_ON_DISK
from coachbook.endgame.probe import Result, probe
from coachbook.endgame.tables import MOST_MEN
from coachbook.exercises.kinds import kind_names
from coachbook.method.methods import methods_for
from coachbook.method.teaching_order import method_names
from coachbook.model.position import Position
from coachbook.model.syllabus import Goal, Unit
from coachbook.workflows.endings import most_moves_to_mate
from tests.shipped import each_unit
from tests.syllabus.boards import SYLLABUS

ENDINGS_OF_KIND = {
    "box_size": {"KQK", "KRK"},
    "smallest_box": {"KQK", "KRK"},
    "shrink_or_king": {"KQK", "KRK"},
    "no_go_squares": {"KQK", "KRK"},
    "catch_pawn": {"KPK"},
    "opposition": {"KPK"},
    "key_squares": {"KPK"},
    "draw_square": {"KPK"},
    "box_walls": {"KQK"},
    "fork_square": {"KQKR"},
    "right_corner": {"KBPK"},
    "mating_corners": {"KBNK"},
    "rook_place": {"KRPKR"},
}

WITH_FOUR_MEN = 6
"""The last level that is about endings of up to four men."""
unit_by_unit = pytest.mark.parametrize("unit", SYLLABUS.units, ids=lambda unit: unit.code)


def goals(unit: Unit) -> list[tuple[str, Goal]]:
    """All positions of a unit with what the side to move is to reach."""
    return [
        (unit.demonstration, unit.demonstration_goal),
        *((play_out.fen, play_out.goal) for play_out in unit.play_outs),
    ]


def test_each_unit_stands_after_all_that_it_builds_on() -> None:
    codes = [unit.code for unit in SYLLABUS.units]
    for number, unit in enumerate(SYLLABUS.units):
        assert set(unit.prerequisites) <= set(codes[:number])


def test_levels_are_counted_from_one_and_only_the_first_unit_builds_on_nothing() -> None:
    assert [level.number for level in SYLLABUS.levels] == list(range(1, len(SYLLABUS.levels) + 1))
    assert [unit.code for unit in SYLLABUS.units if not unit.prerequisites] == [SYLLABUS.units[0].code]


def test_no_title_or_aim_is_there_twice() -> None:
    for texts in ([unit.title for unit in SYLLABUS.units], [unit.aim for unit in SYLLABUS.units]):
        assert len(texts) == len(set(texts))


@unit_by_unit
def test_a_unit_speaks_to_the_student_and_has_enough_to_say(unit: Unit) -> None:
    assert unit.aim.startswith("I can ")
    assert 3 <= len(unit.questions) <= 6
    assert len(unit.say) >= 5
    assert len(unit.slips) >= 3
    assert unit.ahead
    assert unit.behind
    assert 30 <= unit.minutes <= 90


@unit_by_unit
def test_a_unit_names_kinds_that_suit_its_endings_and_a_method_that_there_is(unit: Unit) -> None:
    kinds = {use.kind for use in unit.kinds}
    assert kinds <= set(kind_names())
    assert len(kinds) >= 2
    assert unit.method in {"", *method_names()}
    for kind in kinds:
        assert set(unit.endings) & ENDINGS_OF_KIND.get(kind, set(unit.endings))
    assert unit.method in {"queen-box", "rook-box", "two-majors", "bridge"} or "next_rule" not in kinds


@unit_by_unit
def test_a_unit_of_the_first_six_levels_is_about_at_most_four_men_and_all_about_five(unit: Unit) -> None:
    most = MOST_MEN if unit.level <= WITH_FOUR_MEN else MOST_MEN_ON_DISK
    assert all(len(ending) <= most for ending in unit.endings)
    for fen, _ in goals(unit):
        assert len(Position(fen).pieces) <= most


@unit_by_unit
def test_every_position_is_legal_quiet_and_not_over(unit: Unit) -> None:
    """Who holds a draw may be in check: a queen that stops a pawn checks at every move."""
    for fen, goal in goals(unit):
        board = chess.Board(fen)
        assert board.is_valid()
        assert goal is Goal.DRAW or not board.is_check()
        assert not board.is_game_over()


@each_unit
def test_the_side_to_move_reaches_what_it_is_to_reach(unit: Unit) -> None:
    for fen, goal in goals(unit):
        assert probe(chess.Board(fen)).result is (Result.WIN if goal is Goal.WIN else Result.DRAW)


@each_unit
def test_an_allowance_is_the_shortest_mate_and_a_margin(unit: Unit) -> None:
    for play_out in unit.play_outs:
        moves = probe(chess.Board(play_out.fen)).moves
        assert play_out.goal is Goal.DRAW or (moves is not None and play_out.allowance >= moves + 4)


@each_unit
def test_whoever_follows_the_method_keeps_within_the_allowance(unit: Unit) -> None:
    for play_out in unit.play_outs:
        board = chess.Board(play_out.fen)
        for method in methods_for(board) if play_out.goal is Goal.WIN else ():
            most = most_moves_to_mate(board, method)
            assert most is None or most <= play_out.allowance


@unit_by_unit
def test_no_position_is_there_twice(unit: Unit) -> None:
    fens = [fen for fen, _ in goals(unit)]
    assert len(fens) == len(set(fens))

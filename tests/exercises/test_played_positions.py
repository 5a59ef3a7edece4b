"""Positions that come up when the bridge is built, and the exercises that ask for its next rule: no table of
five men is needed for them."""

import random
from collections import Counter
from collections.abc import Iterator
from itertools import islice

import chess

from coachbook.exercises.generate import exercise_stream
from coachbook.exercises.played_positions import played
from coachbook.method.border import choose
from coachbook.method.bridge import BRIDGE
from coachbook.method.written_plan import find_length
from coachbook.model.syllabus import KindUse
from tests.exercises.samples import unit_with
from tests.method import naive_bridge

UNIT = unit_with("next_rule", "KRPKR")


def boards(seed: int) -> Iterator[chess.Board]:
    return played(BRIDGE, "RPr", random.Random(seed))  # noqa: S311 - no secret


def test_the_method_works_from_each_of_them() -> None:
    for board in islice(boards(1), 12):
        assert board.is_valid()
        assert find_length(board, BRIDGE) is not None, board.fen()


def test_the_rules_come_and_none_much_more_often_than_others() -> None:
    found = Counter(rule.code for board in islice(boards(2), 50) if (rule := choose(board, BRIDGE).rule))
    assert len(found) >= len(BRIDGE.rules) - 1  # one is rare
    assert max(found.values()) <= 20


def test_the_same_chance_gives_the_same_positions() -> None:
    first = [board.fen() for board in islice(boards(3), 6)]
    assert first == [board.fen() for board in islice(boards(3), 6)]
    assert first != [board.fen() for board in islice(boards(4), 6)]


def test_exercises_ask_for_the_rule_that_the_words_of_the_card_name() -> None:
    made = list(islice(exercise_stream(UNIT, KindUse("next_rule", 1, 100), 1, frozenset()), 12))
    assert len({exercise.key for exercise in made}) == 12
    assert len({exercise.answer.accepted for exercise in made}) >= 4
    for exercise in made:
        rule, _ = naive_bridge.decide(chess.Board(exercise.position.fen), by_card=True)
        assert exercise.answer.accepted == (rule,), exercise.position.fen

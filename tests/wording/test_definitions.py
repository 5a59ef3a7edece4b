"""Each word of a task that means something of its own has a definition, in a few words."""

import re

import pytest

from coachbook.method.methods import find_method
from coachbook.wording.definitions import DEFINITIONS, definitions_for, definitions_of_card
from coachbook.wording.exercises import SENTENCES, TASKS, say

DEFINED = {
    r"queen's box|box with the queen": "queens_box",
    r"rook's box|box with the rook": "rooks_box",
    r"two squares or more|at least two squares": "two_squares",
    r"\bsafe\b": "safe_piece",
    r"step nearer": "step_nearer",
    r"no-go": "no_go",
    r"opposition": "opposition",
    r"key squares of the pawn\b(?! on the edge)": "key_squares",
    r"key squares of the pawn on the edge": "edge_key_squares",
    r"square of the pawn|pawn's square": "square_of_pawn",
    r"meeting square": "meeting_square",
    r"evenly apart": "evenly_apart",
}
"""By the words in a task, the definition that they need."""
OLD = {"task_shrink_or_king"}
"""Tasks of sheets that were made when the method decided what is right: no definition makes them complete."""
FILLED = {"side": "white", "result": "win", "decides": "king_to_lone_king", "counted_from": "e3"}


def needed(words: str) -> set[str]:
    """The definitions of the words themselves, and of the words in those definitions."""
    found = {code for pattern, code in DEFINED.items() if re.search(pattern, words, re.IGNORECASE)}
    more = {each for code in found for each in needed(DEFINITIONS[code].partition(": ")[2]) - found}
    return found | more


@pytest.mark.parametrize("man", ["queen", "rook"])
@pytest.mark.parametrize("code", sorted(TASKS - OLD))
def test_each_word_of_a_task_that_needs_a_definition_has_one(code: str, man: str) -> None:
    names = SENTENCES[code].needs & {"man", *FILLED}
    task = say(code, **{name: {"man": man, **FILLED}[name] for name in names})
    assert needed(task.words) <= set(definitions_for(code, dict(task.facts)))


@pytest.mark.parametrize("code", DEFINITIONS)
def test_a_definition_is_one_name_and_at_most_thirty_words(code: str) -> None:
    name, colon, meaning = DEFINITIONS[code].partition(": ")
    assert colon
    assert meaning.endswith(".")
    assert len(name.split()) <= 5
    assert len(DEFINITIONS[code].split()) <= 30


def test_every_definition_that_a_task_needs_is_there_once() -> None:
    for code in TASKS:
        for facts in ({}, {"man": "queen"}, {"man": "rook"}):
            found = definitions_for(code, facts)
            assert set(found) <= set(DEFINITIONS)
            assert len(set(found)) == len(found)


def test_the_box_is_that_of_the_man_in_the_task() -> None:
    assert definitions_for("task_box_size", {"man": "queen"}) == ("queens_box",)
    assert definitions_for("task_rooks_box", {"man": "rook"}) == ("rooks_box",)
    assert definitions_for("task_smallest_box", {"man": "queen"}) == (
        "queens_box",
        "safe_piece",
        "two_squares",
    )
    assert definitions_for("task_every_mate", {}) == ()


def test_the_box_is_that_of_the_rule_in_the_task() -> None:
    assert definitions_for("task_finish_rule", {"decides": "smaller_queen_box"}) == ("queens_box",)
    assert definitions_for("task_finish_rule", {"decides": "rook_shrinks_box"}) == ("rooks_box",)
    assert definitions_for("task_finish_rule", {"decides": "rook_to_king"}) == ()


@pytest.mark.parametrize("name", ["queen-box", "rook-box", "two-majors", "king-and-pawn"])
def test_each_word_of_a_card_that_needs_a_definition_has_one(name: str) -> None:
    method = find_method(name)
    assert method is not None
    told = " ".join(rule.card_words for rule in method.told)
    boxes = {"queens_box", "rooks_box"} & set(definitions_of_card(name))
    assert needed(told) - {"safe_piece", "step_nearer"} <= set(definitions_of_card(name))
    assert bool(boxes) == ("the box" in told)

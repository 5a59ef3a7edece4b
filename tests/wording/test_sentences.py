"""Sentences of exercises and plans: what they state, and the words that they are put in."""

import inspect
from collections import Counter
from dataclasses import replace

import pytest

from coachbook.exercises.claims.known_claims import FACTS
from coachbook.model.worksheet import Answer, AnswerForm, Saying
from coachbook.wording import exercises, reason_sentences, sentences, task_sentences
from coachbook.wording.exercises import SENTENCES, accepted_words, said_again, say, says_what_it_states

TABLES = (
    *(exercises._TASKS, exercises._KEYS, exercises._WARNINGS),
    *(reason_sentences.REASON_TASKS, reason_sentences.REASON_KEYS),
    *(reason_sentences.REASON_WARNINGS, reason_sentences.REASON_RULES),
    *(task_sentences.LINE_TASKS, task_sentences.LINE_KEYS, task_sentences.LINE_WARNINGS),
    *(sentences._REASONS, sentences._ACHIEVED, sentences._SOURCES),
    *(task_sentences.RACE_TASKS, task_sentences._KEYS, task_sentences._WARNINGS, task_sentences._REASONS),
)
ONLY_IN_PLANS = {"number", "stage", "left", "end", "safe_queen", "queen_or_rook", "goal", "at_most"}
"""Facts of plans that are worked out when they are asked for, and stand on no sheet."""


def test_no_code_stands_for_two_sentences() -> None:
    assert Counter(code for table in TABLES for code in table).most_common(1)[0][1] == 1
    assert set(SENTENCES) == {code for table in TABLES for code in table}


def test_every_fact_of_an_exercise_has_a_check_and_every_check_a_fact() -> None:
    stated = {
        name
        for sentence in SENTENCES.values()
        for name in (*sentence.needs, *sentence.may, *sentence.implies)
    }
    assert stated == set(FACTS) | ONLY_IN_PLANS
    assert not set(FACTS) & ONLY_IN_PLANS


@pytest.mark.parametrize(
    ("saying", "words"),
    [
        (say("box", files=1, ranks=1, squares=1), "1 by 1: 1 square."),
        (say("box", files=2, ranks=3, squares=6), "2 by 3: 6 squares."),
        (say("white_mates", mates_in=1), "White mates in 1 move at most."),
        (say("stalemates", stalemates=("Qa1",), more=False), "Stalemate: Qa1."),
        (say("stalemates", stalemates=("Qa1", "Qb2"), more=False), "Stalemate: Qa1 and Qb2."),
        (say("stalemates", stalemates=("Qa1", "Qb2"), more=True), "Stalemate: Qa1, Qb2 and others."),
        (
            say("stalemate_on", stalemate_on=("a1", "b2"), taken_on=1),
            "On a1 and b2 it is stalemate. On the other the lone king can take it.",
        ),
        (
            say("placed_otherwise", other_end="mate", ends_otherwise_on=("a1", "b2")),
            "On a1 and b2 it would be mate.",
        ),
        (
            say("race_won", queens_first="black", queens_second="white", still_needs=1),
            "Black queens first and wins: White's pawn still needs 1 move.",
        ),
        (say("a_reply", reply="Ka1", replies=1), "Ka1 is his only reply"),
        (say("a_reply", reply="Ka1", replies=2), "Ka1 is one of his 2 replies"),
        (say("does", takes="pawn", end="bare"), "takes the pawn; then nobody can mate any more: a draw"),
        (say("does", stalemate=True, end="stalemate"), "then stalemate: a draw"),
        (say("does", end="on"), "and so on"),
        (say("rows", rows_was=4, rows_now=1, gives_check=True), "he had 4: now one rank or file left, check"),
        (say("rows", rows_now=1), "a fence: one rank or file left"),
        (say("rows", gives_check=True), "no fence yet, check"),
        (say("goal_in", left=1), "at most 1 more move in this stage"),
        (say("goal_in", left=0), "goal reached"),
    ],
)
def test_a_sentence_is_put_in_words(saying: Saying, words: str) -> None:
    assert saying.words == words


def test_a_sentence_states_its_facts_in_order_with_those_that_it_implies() -> None:
    saying = say("task_only_move", side="white", result="win")
    assert saying.facts == (
        *(("asks", "keeping_moves"), ("only_move", True), ("result", "win"), ("side", "white")),
    )
    assert saying.fact("side") == "white"
    assert saying.fact("man") is None
    assert says_what_it_states(saying)


@pytest.mark.parametrize(
    "saying",
    [
        Saying("nonsense"),
        Saying(""),
        replace(say("drawn"), facts=()),
        replace(say("drawn"), facts=(("result", "win"),)),
        replace(say("drawn"), facts=(*say("drawn").facts, ("side", "white"))),
        replace(say("box_left", squares=3), facts=()),
        replace(say("box_left", squares=3), facts=(("squares", 3), ("squares", 3))),
    ],
)
def test_a_sentence_that_states_less_or_more_than_it_must_is_known(saying: Saying) -> None:
    assert not says_what_it_states(saying)


def test_facts_that_a_sentence_is_not_made_of_are_refused() -> None:
    for code, facts in (("drawn", {"squares": 3}), ("box_left", {}), ("box", {"files": 2}), ("a_word", {})):
        with pytest.raises((TypeError, KeyError)):
            say(code, **facts)


def test_a_sentence_can_be_said_again_with_more_facts() -> None:
    first = say("front", steps_to_front=2)
    assert said_again(first) == first
    assert said_again(first, end="again").words.endswith("; then the same position comes back: a draw")


def test_what_a_function_is_given_are_the_facts_that_its_sentence_needs() -> None:
    for code, sentence in SENTENCES.items():
        assert not sentence.needs & sentence.implies.keys(), code
        assert inspect.isfunction(sentence.words), code


def test_a_race_is_read_out_side_by_side() -> None:
    assert accepted_words(Answer(AnswerForm.RACE, ("4 3 black",))) == ("White 4, Black 3, Black first",)

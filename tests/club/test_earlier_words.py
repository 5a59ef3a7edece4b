"""The sentences of version 0.1.0 become codes, and are told as they were."""

import json

import pytest
from pydantic import TypeAdapter

from coachbook.club.earlier_words import reason_of, with_group_renamed
from coachbook.model.term_plan import Reason, Why
from coachbook.wording.plans import reason_in_words

GROUPS = ("Owls", "Foxes", "Owls and Foxes")
SENTENCES = {
    "review of earlier evenings comes first": Why.REVIEW,
    "nobody is due: a short warm-up on earlier evenings": Why.NOBODY_DUE,
    "students due: Is the game over? (1)": Why.STUDENTS_DUE,
    "students due before the next evening: A, b (2 or more) (3), C (1) and 4 more": Why.STUDENTS_DUE,
    "next in the syllabus": Why.NEXT,
    "next in the syllabus; builds on “Two big pieces” and “A box (of squares)”": Why.NEXT,
    "again: it was planned before and not done": Why.AGAIN,
    "again: it was planned before and not done; builds on “Two big pieces”": Why.AGAIN,
    "pinned to this evening by the coach; builds on “Two big pieces”": Why.PINNED,
    "goes on: 15 minutes were left": Why.GOES_ON,
    "worksheet on what is new": Why.WORKSHEET,
    "play-outs of what is new": Why.PLAY_OUTS,
    "minutes to spare: play-outs of what the group knows": Why.SPARE_CARDS,
    "minutes to spare: games among themselves": Why.SPARE_GAMES,
    "a quiet sheet on what the group knows while the coach is with Owls and Foxes and Owls": Why.QUIET_SHEET,
    "games among themselves while the coach is with Foxes": Why.QUIET_GAMES,
    "the last evening: a mixed sheet and play-outs on what was taught": Why.LAST_EVENING,
    "level 2 is finished: a mixed sheet and play-outs on what was taught": Why.LEVEL_DONE,
    "for a late start, a long question and tidying up": Why.BUFFER,
    "something that no version ever wrote": Why.AS_TOLD,
}


def read(sentence: str) -> Reason | None:
    return TypeAdapter(Reason | None).validate_json(json.dumps(reason_of(sentence, GROUPS)), strict=True)


@pytest.mark.parametrize(("sentence", "why"), SENTENCES.items())
def test_a_sentence_becomes_a_code_that_says_the_same(sentence: str, why: Why) -> None:
    reason = read(sentence)
    assert reason is not None
    assert (reason.why, reason_in_words(reason)) == (why, sentence)


def test_every_code_but_none_is_covered() -> None:
    assert set(SENTENCES.values()) == set(Why)
    assert read("") is None


def test_groups_are_told_apart_though_one_is_called_like_two_others() -> None:
    reason = read("games among themselves while the coach is with Owls and Foxes and Owls")
    assert reason is not None
    assert reason.names == ("Owls and Foxes", "Owls")


def test_only_the_groups_of_a_sentence_are_renamed() -> None:
    sentence = "games among themselves while the coach is with Games and Owls"
    renamed = "games among themselves while the coach is with Chess and Owls"
    assert with_group_renamed(sentence, "Games", "Chess") == renamed
    assert with_group_renamed("next in the syllabus", "next", "last") == "next in the syllabus"

"""The halves of a rule are cut out of the card; no other end that is offered stands there."""

import pytest

from coachbook.method.queen_box import QUEEN_BOX
from coachbook.method.rook_box import ROOK_BOX
from coachbook.wording.exercises import SENTENCES, option_words, say, ways_to_say
from coachbook.wording.method_words import CARD_WORDS, card_words
from coachbook.wording.task_sentences import _FORMER, _HALVES, RULE_ENDS

CARDS = " ".join(CARD_WORDS.values()).casefold()


def test_each_rule_but_mate_can_be_finished() -> None:
    rules = [rule.code for method in (QUEEN_BOX, ROOK_BOX) for rule in method.rules]
    assert [rule for rule in rules if rule != "mate"] == list(_HALVES)


@pytest.mark.parametrize("rule", _HALVES)
def test_both_halves_follow_each_other_on_the_card(rule: str) -> None:
    start, end, _ = _HALVES[rule]
    words = card_words(rule).removeprefix("Else ").casefold()
    assert words.startswith(start.casefold())
    assert words.removeprefix(start.casefold()).lstrip(": ").startswith(end)


@pytest.mark.parametrize("rule", _HALVES)
def test_the_other_ends_stand_on_no_card(rule: str) -> None:
    _, end, others = _HALVES[rule]
    assert len({end, *others}) == 3
    assert not [other for other in others if other in CARDS]


def test_an_end_is_told_by_its_own_words() -> None:
    assert option_words("king_to_lone_king/end") == "keep the box, or guard facing him"
    assert ways_to_say("rook_to_king/other-2") == ("go into the nearest corner",)


def test_a_rule_that_is_no_more_is_printed_again_as_it_was() -> None:
    assert len(RULE_ENDS) == 3 * (len(_HALVES) + len(_FORMER))
    assert option_words("king_nearer/end") == "stay as near to the rook as he is"
    assert option_words("king_steps") == "step with the king"
    assert "Move your king:…" in say("task_finish_rule", decides="king_steps").words


def test_a_task_shows_the_beginning_of_the_rule_and_no_end() -> None:
    for rule, (start, end, others) in _HALVES.items():
        task = say("task_finish_rule", decides=rule).words
        assert f"{start}…" in task
        assert not [each for each in (end, *others) if each in task]


@pytest.mark.parametrize(
    ("code", "facts", "words"),
    [
        ("waits", {"waiting": 1, "room_was": 1}, "One move waits. The box stays at 1 square."),
        (
            "waits",
            {"waiting": 3, "room_was": 4},
            "3 moves wait, and any one of them is right. The box stays at 4 squares.",
        ),
        (
            "win_thrown",
            {"thrown_at": 2, "thrown_by": "Ke3", "better": "Kd4", "only_better": True},
            "After 2. Ke3 it is a draw. Only Kd4 keeps the win there.",
        ),
        (
            "win_thrown",
            {"thrown_at": 2, "thrown_by": "Ke3", "better": "Kd4", "only_better": False},
            "After 2. Ke3 it is a draw. Kd4, for one, keeps the win there.",
        ),
    ],
)
def test_a_key_is_put_in_words(code: str, facts: dict[str, bool | int | str], words: str) -> None:
    assert code in SENTENCES
    assert say(code, **facts).words == words

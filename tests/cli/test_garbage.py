"""Whatever is typed at any command: never a traceback, never a half-written evening.

Everyday a few examples of each command, always the same; before a release at least 20,000 that are
new each time (`pytest -m long`). A command or value that is added without garbage for it is found.
"""

import pytest
from hypothesis import given

from tests.cli.desk import Call, Desk
from tests.cli.garbage import thorough
from tests.cli.garbage_calls import Command, calls, commands, values_of

EXAMPLES = 20_000
"""How many there are at least before a release."""

USUAL, USUAL_EVERYDAY = 460, 3
# Commands that solve, prove or print more than others: fewer examples of each.
SLOW = {
    ("demo",): (12, 1),
    ("ending", "prove"): (40, 2),
    ("ending", "table"): (100, 3),
    ("evening", "prepare"): (120, 1),
    ("exercise", "count"): (40, 2),
    ("lesson", "make"): (200, 2),
    ("poster", "make"): (100, 2),
    ("sheet", "make"): (200, 2),
    ("syllabus", "check"): (100, 2),
}
COMMANDS = dict(commands())
MANY = {words: SLOW.get(words, (USUAL, USUAL_EVERYDAY))[0] for words in COMMANDS}
FEW = {words: SLOW.get(words, (USUAL, USUAL_EVERYDAY))[1] for words in COMMANDS}


def try_out(desk: Desk, words: Command, most: int, *, fresh: bool) -> int:
    """Tries a command out; how often it was run."""
    times = 0

    @thorough(most, fresh=fresh)
    @given(calls(words, COMMANDS[words], desk))
    def holds(call: Call) -> None:
        nonlocal times
        times += 1
        desk.try_out(call)

    holds()
    return times


@pytest.mark.full
@pytest.mark.parametrize("words", COMMANDS, ids=" ".join)
def test_no_garbage_breaks_a_command(desk: Desk, words: Command) -> None:
    assert try_out(desk, words, FEW[words], fresh=False) >= FEW[words]


@pytest.mark.long
@pytest.mark.parametrize("words", COMMANDS, ids=" ".join)
def test_no_garbage_in_plenty_breaks_a_command(desk: Desk, words: Command) -> None:
    assert try_out(desk, words, MANY[words], fresh=True) >= MANY[words]


def test_there_are_twenty_thousand_examples_before_a_release() -> None:
    assert sum(MANY.values()) >= EXAMPLES
    assert SLOW.keys() <= COMMANDS.keys()


@pytest.mark.parametrize("words", COMMANDS, ids=" ".join)
def test_there_is_garbage_for_each_value_of_a_command(desk: Desk, words: Command) -> None:
    for parameter in COMMANDS[words]:
        if not parameter.is_flag:
            right, wild = values_of(words, parameter, desk)
            assert not right.is_empty
            assert not wild.is_empty

"""What is told on a terminal breaks at spaces; what goes to a file or a pipe never does."""

import pytest

from coachbook.cli.console import wrap_line
from tests.cli.drive import run
from tests.cli.terminal import all_on_a_terminal

WIDTH = 40


def test_a_long_line_breaks_at_spaces() -> None:
    assert wrap_line("one two three four five six", 20) == "one two three four\nfive six"
    assert wrap_line("exactly twenty signs", 20) == "exactly twenty signs"


@pytest.mark.parametrize(
    ("line", "wrapped"),
    [
        ("  indented by two, as a list is", "  indented by two,\n  as a list is"),
        ("  12  two rooks and the king", "  12  two rooks and\n      the king"),
        ("Slip:  he can take the rook", "Slip:  he can take\n       the rook"),
        ("a label that is longer  text", "a label that is\nlonger  text"),
    ],
)
def test_what_goes_on_stands_below_the_text(line: str, wrapped: str) -> None:
    assert wrap_line(line, 20) == wrapped


def test_a_word_that_is_longer_than_a_line_stays_whole() -> None:
    assert wrap_line("Written: /a/folder/with/a-long-name.pdf", 20) == (
        "Written:\n/a/folder/with/a-long-name.pdf"
    )
    assert wrap_line("/a/folder/with/a-long-name.pdf", 20) == "/a/folder/with/a-long-name.pdf"


def test_wide_letters_count_twice_and_marks_above_letters_not_at_all() -> None:
    assert wrap_line("佐藤花佐藤花 佐藤花佐", 20) == "佐藤花佐藤花\n佐藤花佐"
    assert wrap_line("e\u0301" * 9 + " " + "e\u0301" * 10, 20) == "e\u0301" * 9 + " " + "e\u0301" * 10


def test_a_width_of_no_use_leaves_a_line_alone() -> None:
    assert wrap_line("one two three four five six", 0) == "one two three four five six"


@pytest.mark.usefixtures("club")
def test_on_a_terminal_messages_and_errors_keep_words_whole_and_json_is_not_wrapped() -> None:
    commands = (
        ("student", "show", "Zoe"),
        ("student", "export", "Ana"),
        ("student", "show", "Ana", "--json"),
    )
    *messages, json_told = all_on_a_terminal(commands, WIDTH)
    *piped_messages, json_piped = (ran.out + ran.err for ran in (run(*words) for words in commands))
    for told, piped in zip(messages, piped_messages, strict=True):
        assert all(len(line) <= WIDTH for line in told.splitlines()), told
        assert any(len(line) > WIDTH for line in piped.splitlines()), piped
        assert told.split() == piped.split()
    assert json_told == json_piped

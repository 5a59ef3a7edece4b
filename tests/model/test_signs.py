import sys
import unicodedata

import pytest

from coachbook.model.reading import JOINERS, first_hidden, without_hidden

OBEYED = {
    "clears the screen": "\x1b[2J",
    "a link (OSC 8)": "\x1b]8;;http://x.invalid\x1b\\x",
    "a C1 control": "\x9b2J",
    "another order": "\u202eabc",
    "another order, isolated": "\u2066abc",
    "a bell": "\x07",
    "back to the beginning": "ab\rc",
    "a line separator": "\u2028",
    "half of a pair": "\ud800",
}


@pytest.mark.parametrize("text", OBEYED.values(), ids=OBEYED)
def test_what_a_terminal_would_obey_is_found_and_shown_as_a_space(text: str) -> None:
    assert first_hidden(text) in {*text} - {""}
    assert first_hidden(without_hidden(text)) == ""
    assert without_hidden(text).split() == "".join(s if s.isprintable() else " " for s in text).split()


@pytest.mark.parametrize("text", ["Zoë", "नीर\u200cज", "e4\u00a0e5", "佐藤\u3000花", "♔", "👩\u200d🏫", ""])
def test_text_of_all_scripts_stays(text: str) -> None:
    assert first_hidden(text) == ""
    assert without_hidden(text) == text


def test_lines_stay_and_a_tab_is_a_space() -> None:
    assert without_hidden("a\tb\nc\n") == "a b\nc\n"


def test_nothing_is_let_through_but_what_can_be_seen_spaces_and_joiners() -> None:
    shown = {unicodedata.category(sign) for sign in map(chr, range(sys.maxunicode)) if not first_hidden(sign)}
    assert not shown & {"Cc", "Cs", "Co", "Cn", "Zl", "Zp"}
    formats = [sign for sign in map(chr, range(sys.maxunicode)) if unicodedata.category(sign) == "Cf"]
    assert [sign for sign in formats if not first_hidden(sign)] == [*JOINERS]

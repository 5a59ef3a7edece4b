"""On a narrow terminal tables break at spaces: no code and no name is ever cut."""

import json
import re

import pytest
from hypothesis import given
from hypothesis import strategies as st

from coachbook.cli.console import GAP, column_widths
from tests.cli.conftest import Club
from tests.cli.drive import done
from tests.cli.terminal import all_on_a_terminal

NAMES = ("Anna-Lena Weidenbacher-Ohlsdorff", "Anna-Lena Weidenbacher-Ohlsen", "Konstantinos Papadimitriou")


@pytest.fixture
def crowd(club: Club) -> Club:
    for name in NAMES:
        done("student", "add", name, "--group", "Owls")
    day = ("--date", "2026-09-17")
    done("sheet", "make", "queen-box", "--group", "Owls", "--forms", "--items", "2", *day)
    done("sheet", "make", "queen-box", "--group", "Owls", "--each", "--items", "2", *day)
    done("log", "attendance", "Ana", NAMES[0], "--group", "Owls", *day)
    return club


def words(text: str) -> set[str]:
    """All words of a table, without its rule."""
    return set(re.sub("[─━]", " ", text).split())


COMMANDS = (
    ("sheet", "list"),
    ("log", "list"),
    ("student", "list"),
    ("syllabus", "list"),
    ("exercise", "list"),
    ("ending", "show", "8/8/8/8/4k3/8/8/K1Q5 w - - 0 1"),
)


@pytest.mark.full
@pytest.mark.usefixtures("crowd")
@pytest.mark.parametrize("width", [40, 60])
def test_every_word_of_a_table_is_whole_and_no_line_is_too_long(width: int) -> None:
    tables = dict(zip(COMMANDS, all_on_a_terminal(COMMANDS, width), strict=True))
    for command, told in tables.items():
        assert told
        assert max(map(len, told.splitlines())) <= width
        assert "\N{HORIZONTAL ELLIPSIS}" not in told
        assert words(done(*command)) <= words(told)
    told = tables["sheet", "list"]
    codes = [sheet["code"] for sheet in json.loads(done("sheet", "list", "--json"))]
    assert len(codes) >= 8
    assert [told.count(code) for code in codes] == [1] * len(codes)


texts = st.lists(st.text("ab ", max_size=12), min_size=3, max_size=3)


@given(st.lists(texts, min_size=1, max_size=5), st.integers(5, 40))
def test_columns_are_never_narrower_than_their_longest_word(rows: list[list[str]], width: int) -> None:
    found = column_widths(rows, width)
    longest = [max(len(word) for row in rows for word in [*row[i].split(), ""]) for i in range(3)]
    if found is None:
        assert sum(longest) + 2 * GAP > width
    else:
        assert sum(found) + 2 * GAP <= width
        assert all(wide >= least for wide, least in zip(found, longest, strict=True))

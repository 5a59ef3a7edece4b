"""Whatever is typed at the questions of an evening: each step is kept whole, or not at all."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.cli import garbage
from tests.cli.desk import Call, Desk
from tests.cli.garbage import EVENING, PREPARED, one_of, thorough
from tests.cli.garbage_calls import Command

# What was kept can be told, and written as a table that can be read in again.
AFTERWARDS = (
    ("review", "--group", "Owls"),
    ("student", "show", "Ana"),
    ("log", "export", "--to", "all.csv"),
    ("log", "answers", "--table", "all.csv", "--preview"),
    ("log", "undo", "--yes"),
)
OWLS = ("--group", "Owls")
QUESTIONS: dict[Command, garbage.Words] = {
    ("log", "answers", "--date", EVENING): one_of("1 2 3 4 5 6", "Qe5; 9; -", "3: Qe5; 5: 9", ";"),
    ("log", "answers", "--ticks", "--date", EVENING): one_of("111111", "10-1x.", "=", "1 1 1 0 0 0"),
    ("log", "attendance", *OWLS, "--date", EVENING): one_of("1", "2, bo", "ana,Łucja", "1 2 3"),
    ("log", "playout", "Ana", "PLAY-QUEEN-BOX-1"): garbage.told.right,
    ("evening", "close", PREPARED, *OWLS): one_of(
        *("1", "2, bo", "1 2 3 4 5", "1; 2; 3; 4; 5", "1 mated in 14", "2 stalemate", "3 1. Qc5 Kd3 2. Kb2"),
        *("Ana, queen-box: sees it", "bo, two-majors: helps"),
    ),
}


@st.composite
def evenings(draw: st.DrawFn, right: garbage.Words) -> bytes:
    """Lines as they should be, with empty ones and some that are not, ending anywhere or with a yes."""
    line = st.one_of(right, right, one_of("", "", "y", "n", "?"), garbage.nearly(right), garbage.texts())
    text = "".join(f"{each}\n" for each in draw(st.lists(line, max_size=10)))
    typed = text.encode(errors="surrogateescape")
    return draw(st.sampled_from((typed, typed[: len(typed) // 2], typed + b"\n" * 40)))


@pytest.mark.full
@pytest.mark.parametrize("words", QUESTIONS, ids=" ".join)
@pytest.mark.parametrize(("most", "fresh"), [(8, False), pytest.param(800, True, marks=pytest.mark.long)])
def test_an_evening_is_kept_whole_or_not_at_all(desk: Desk, words: Command, most: int, fresh: bool) -> None:
    @thorough(most, fresh=fresh)
    @given(evenings(QUESTIONS[words]))
    def holds(typed: bytes) -> None:
        after = desk.try_out(Call(words, typed=typed, then=AFTERWARDS)).after
        assert all(ran.code == 0 for ran in after), after

    holds()

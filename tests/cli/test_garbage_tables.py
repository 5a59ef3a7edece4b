"""Tables with any bytes: all rows of one are kept, or none; however it is broken."""

import csv
import io
from collections.abc import Mapping

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.cli import garbage
from tests.cli.desk import Call, Desk
from tests.cli.garbage import Sort, one_of, sort, thorough
from tests.cli.garbage_calls import Command
from tests.cli.garbage_files import Given, read_from, tables

PRESENT = sort(one_of("yes", "no", "x", "", "1", "0"))
ITEM = sort(one_of("1", "2", "3", "4", "5", "6"), garbage.number.wild)
WRITTEN = sort(one_of("Qe5", "9", "-", "Qe5 Qb8"), garbage.moves(), garbage.texts())
TABLES: dict[Command, Mapping[str, Sort]] = {
    ("log", "answers", "--table"): {
        "student": sort(one_of("Ana", "Bo", "Łucja")),
        "item": ITEM,
        "answer": WRITTEN,
        "date": garbage.date,
    },
    ("log", "attendance", "--table"): {"date": garbage.date, "student": garbage.student, "present": PRESENT},
    ("student", "import"): {"name": garbage.newcomer, "group": garbage.newcomer},
}
OPTIONAL = ("group", "date")


def rows_of(content: bytes) -> int:
    """How many lines after the first are not empty, as any reader of CSV finds them."""
    text = content.decode().removeprefix("\ufeff")
    first = "".join(text.lstrip().splitlines()[:1])
    found = csv.reader(io.StringIO(text, newline=None), delimiter=";" if ";" in first else ",")
    return sum(any(field.strip() for field in row) for row in found) - 1


def try_table(desk: Desk, words: Command, given: Given) -> None:
    tried = desk.try_out(Call((*words, given.word), given.files, then=(("review", "--group", "Owls"),)))
    if tried.ran.code == 0 and given.word in given.files:  # else it was asked for help
        rows = rows_of(given.files[given.word])
        if words[0] == "student":
            assert tried.ran.out.split()[:2] == ["Added:", str(rows)]
        else:
            assert [facts.total() for facts in tried.logged] == [rows]


@pytest.mark.parametrize("words", TABLES, ids=" ".join)
@pytest.mark.parametrize(("most", "fresh"), [(10, False), pytest.param(1000, True, marks=pytest.mark.long)])
def test_of_a_table_all_rows_are_kept_or_none(desk: Desk, words: Command, most: int, fresh: bool) -> None:
    columns = TABLES[words]
    right, wild = (tables(columns, OPTIONAL, wild=each) for each in (False, True))
    sources = st.one_of(*read_from("table.csv", right, wild))

    @thorough(most, fresh=fresh)
    @given(sources)
    def holds(given: Given) -> None:
        try_table(desk, words, given)

    holds()


HUGE = ("x", '"', ",", ";", "é", " ", "(", "\\", "[", "0")
READERS: dict[Command, str] = {
    ("log", "answers", "--table", "huge"): "student,item,answer\nAna,1,",
    ("log", "attendance", "--table", "huge"): "date,student,present\n",
    ("student", "import", "huge"): "name\n",
    ("log", "playout", "Ana", "PLAY-QUEEN-BOX-1", "--pgn", "huge"): '[Event "Club"]\n\n',
    ("exercise", "own", "huge"): "k7/8/1K6/8/8/8/8/7R w - - ",
    ("restore", "huge"): "SQLite format 3\0",
    ("club", "show", "--book", "huge"): "",
    ("syllabus", "list", "--syllabus", "."): "",
}


@pytest.mark.long
@pytest.mark.parametrize("sign", HUGE)
@pytest.mark.parametrize("words", READERS, ids=" ".join)
def test_a_line_of_ten_million_signs_leads_to_nothing(desk: Desk, words: Command, sign: str) -> None:
    content = READERS[words].encode() + (sign * 10_000_000).encode()
    files = {"huge": content} if "huge" in words else {"level-1.toml": b"title = " + content}
    tried = desk.try_out(Call(words, files))
    assert tried.logged == ()
    assert len(tried.ran.out) < 5000

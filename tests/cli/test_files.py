"""Files that go out: whose they are, who may read them, and where nothing is written."""

import csv
import os
import stat
from pathlib import Path

import pytest

from tests.cli.conftest import Club
from tests.cli.drive import done, run

ALIKE = ("Anna Lena", "Anna-Lena")


def refused(*arguments: str) -> str:
    ran = run(*arguments)
    assert (ran.code, len(ran.problems)) == (2, 1), ran
    return ran.err


@pytest.mark.usefixtures("club")
@pytest.mark.parametrize(
    "words",
    [("report", "family"), ("student", "export"), ("card", "make", "queen-box", "--student")],
    ids=" ".join,
)
def test_two_students_of_like_names_have_files_of_their_own(words: tuple[str, ...]) -> None:
    for name in ALIKE:
        done("student", "add", name, "--group", "Owls")
    written = [
        line.removeprefix("Written: ")
        for name in ALIKE
        for line in done(*words, name).splitlines()
        if line.startswith("Written: ")
    ]
    assert len({*written}) == len(written) >= 2
    assert all(Path(name).is_file() for name in written)


OUTPUTS = (
    ("log", "export", "--to"),
    ("report", "family", "Ana", "--to"),
    ("group", "show", "Owls", "--to"),
)


@pytest.mark.usefixtures("club")
@pytest.mark.parametrize("words", OUTPUTS, ids=" ".join)
def test_what_may_hold_names_is_for_the_coach_alone(words: tuple[str, ...]) -> None:
    done(*words, "out.file")
    assert stat.S_IMODE(Path("out.file").stat().st_mode) == 0o600


@pytest.mark.parametrize(
    "words", [*OUTPUTS, ("backup", "--to"), ("club", "new", "Other", "--book")], ids=" ".join
)
@pytest.mark.parametrize("suffix", ["", "-wal", "-shm", "-journal"])
def test_the_book_and_what_sqlite_keeps_beside_it_are_never_written_over(
    club: Club, words: tuple[str, ...], suffix: str
) -> None:
    before = club.book.read_bytes()
    assert "club.book" in refused(*words, f"club.book{suffix}")
    assert club.book.read_bytes() == before
    assert not suffix or not Path(f"club.book{suffix}").exists()


@pytest.mark.usefixtures("club")
@pytest.mark.parametrize("words", OUTPUTS, ids=" ".join)
def test_a_pipe_is_not_replaced_by_a_file(words: tuple[str, ...]) -> None:
    os.mkfifo("pipe")
    assert "pipe is not a file" in refused(*words, "pipe")
    assert Path("pipe").is_fifo()
    assert "/dev/null is not a file" in refused(*words, "/dev/null")


@pytest.mark.usefixtures("club")
def test_a_formula_as_a_name_or_an_answer_does_nothing_in_a_spreadsheet_and_is_read_again() -> None:
    name, link = "=Ana", '=HYPERLINK("http://x.invalid","Q")'
    done("student", "add", "=Ana", "--group", "Owls")
    made = done("sheet", "make", "queen-box", "--student", name, "--date", "2026-09-17")
    code = made.splitlines()[1].split()[0]
    Path("in.csv").write_text(
        f'student,item,answer\n\'=Ana,1,"{link.replace(chr(34), chr(34) * 2)}"\n=Ana,2,-\n', encoding="utf-8"
    )
    typed = ("log", "answers", code, "--date", "2026-09-17", "--table")
    done(*typed, "in.csv")
    done("log", "export", "--to", "out.csv")
    written = list(csv.reader(Path("out.csv").read_text(encoding="utf-8").splitlines()))
    assert [(row[0], row[3]) for row in written[1:]] == [(f"'{name}", f"'{link}"), (f"'{name}", "")]
    first = Path("out.csv").read_bytes()
    done("log", "undo", "--yes")
    done(*typed, "out.csv")
    done("log", "export", "--to", "out.csv")
    assert Path("out.csv").read_bytes() == first


def test_no_folder_of_papers_takes_the_name_of_a_books_side_file(club: Club) -> None:
    ran = run("sheet", "print", club.sheet, "--to", f"{club.book.name}-wal")
    assert (ran.code, ran.problems) == (
        2,
        [f"coachbook: {club.book.name}-wal belongs to {club.book.name}, a database. Choose another name."],
    )

"""What README shows does as it says: its lines are typed one after the other, on an evening of its term."""

import csv
import re
import shlex
from datetime import date
from pathlib import Path

import pytest

from coachbook.cli import options
from coachbook.model.syllabus import Goal, Unit
from coachbook.workflows.standings import load_syllabus
from tests.cli.drive import done, right_answers, run, sheet_in
from tests.cli.test_documents import shell_lines

LAST_YEAR = ("2026-12-29", "2027-01-05")
SET_UP = ("python3 -m venv .venv", ". .venv/bin/activate", "pip install .", 'pip install ".[test]"', "pytest")
A_SHEET = re.compile(r"\b(?!PLAY-)[A-Z]{2,}-[A-Z0-9]{5}\b")
YES = "y\n" * 3
OWN_POSITIONS = '[FEN "7k/8/5K2/8/8/8/8/1B4Q1 w - - 0 1"]\n\n*\n'
LINES = shell_lines("README.md")


class Tonight(date):
    """Whoever asks is told that it is the first evening of the term in README."""

    @classmethod
    def today(cls) -> "Tonight":
        return cls(2027, 1, 12)


@pytest.fixture
def book(new_coach: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """Where the book will be, of a coach who sits at a terminal in an empty folder."""
    monkeypatch.setattr(options, "date", Tonight)
    return new_coach / "club.book"


def test_what_is_typed_before_coachbook_is_there_is_known() -> None:
    """The lines that set up are run by `.ci/first-screen`, and tests by `.ci/checks`."""
    assert tuple(line for line in LINES if not line.startswith("coachbook ")) == SET_UP
    assert LINES[3] == "coachbook demo --to my-demo"


@pytest.mark.full
def test_every_line_of_the_readme_can_be_typed_in_its_order(book: Path) -> None:
    for line in (line for line in LINES if line not in SET_UP):
        if line.startswith("coachbook report certificate "):
            learn_level_1("Noor")
        told = type_line(line, book)
        assert told.strip(), line


@pytest.mark.parametrize("line", LINES)
def test_no_line_of_the_readme_hides_from_this_test(line: str) -> None:
    assert line in SET_UP or shlex.split(line)[0] == "coachbook"
    assert not set("&|;<>") & set(line)


def type_line(line: str, book: Path) -> str:
    """What the line prints; fails unless it goes well."""
    words = shlex.split(A_SHEET.sub(lambda _: sheet_of("Noor", book), line))[1:]
    ran = run(*words, typed=answers_to(words, book))
    assert (ran.code, ran.err) == (0, ""), (line, ran)
    return ran.out


def answers_to(words: list[str], book: Path) -> str:
    """What a coach types into the commands that ask; before them, the files of their own that they name."""
    match words:
        case ["log", "answers", "--table", path, *_]:
            right = right_answers(sheet_in(book, sheet_of("Noor", book)))
            write_table(path, "Noor", sheet_of("Noor", book), right)
        case ["log", "answers", code, *_]:
            return "; ".join(right_answers(sheet_in(book, code))) + "\n" * 9
        case ["log", "attendance", "--group", _] | ["evening", "close"]:
            return "\n" * 60
        case ["exercise", "own", path]:
            Path(path).write_text(OWN_POSITIONS, encoding="utf-8")
    return ""


def sheet_of(name: str, book: Path) -> str:
    """The code of a sheet that this student alone has been given, and that nobody has logged."""
    listed = [line.split() for line in done("sheet", "list", "--student", name).splitlines()]
    code = next(words[0] for words in listed if A_SHEET.fullmatch(words[0]) and words[-1] == name)
    assert sheet_in(book, code).code == code
    return code


def learn_level_1(name: str) -> None:
    """Two good evenings in every unit of the first level, so that there is something to certify."""
    for unit in load_syllabus().levels[0].units:
        for day in LAST_YEAR:
            learn(name, unit, day)


def learn(name: str, unit: Unit, day: str) -> None:
    of_whom = (unit.code, "--student", name)
    made = done("sheet", "make", *of_whom, "--date", day, "--seed", "1", "--items", "6", "--to", "last-year")
    code = made.splitlines()[1].split()[0]
    write_table("last-year.csv", name, code, right_answers(sheet_in(Path("club.book"), code)))
    done("log", "answers", "--table", "last-year.csv", "--date", day, "--yes")
    for number, play_out in enumerate(unit.play_outs, start=1):
        went = "mated in 2" if play_out.goal is Goal.WIN else "held"
        done("log", "playout", name, f"{unit.code}-{number}", went, "--date", day, typed=YES)


def write_table(path: str, name: str, code: str, answers: list[str]) -> None:
    with Path(path).open("w", newline="", encoding="utf-8") as file:
        rows = csv.writer(file)
        rows.writerow(("student", "sheet", "item", "answer"))
        rows.writerows((name, code, number, answer) for number, answer in enumerate(answers, start=1))

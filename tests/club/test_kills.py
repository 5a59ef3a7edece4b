"""Whenever a program is killed, the book is whole, and what was acknowledged is in it."""

import random
import subprocess
import sys
import time
from pathlib import Path

import pytest

from coachbook.club.book import Book, open_book
from coachbook.club.sheets import save_worksheet
from coachbook.club.students import add_student
from coachbook.workflows.checking import check_book
from tests.club.conftest import _worksheet
from tests.club.killing import ACTIONS, DAY

ROOT = Path(__file__).parents[2]
pytestmark = pytest.mark.skipif(sys.platform == "win32", reason="there is no SIGKILL")


def kill(action: str, runs: int, folder: Path) -> None:
    room = folder / "room"
    room.mkdir()
    command = [sys.executable, "-m", "tests.club.killing", action, str(runs), "6", str(room)]
    ran = subprocess.run(command, cwd=ROOT, capture_output=True, text=True, check=False)
    assert ran.returncode == 0, ran.stderr
    assert ran.stdout.startswith("{")


@pytest.mark.full
@pytest.mark.parametrize(("action", "runs"), [(each, 12 if each == "logging" else 3) for each in ACTIONS])
def test_a_kill_leaves_the_book_whole(action: str, runs: int, tmp_path: Path) -> None:
    kill(action, runs, tmp_path)


@pytest.mark.long
@pytest.mark.parametrize(("action", "runs"), [(each, 500 if each == "logging" else 60) for each in ACTIONS])
def test_many_kills_leave_the_book_whole(action: str, runs: int, tmp_path: Path) -> None:
    kill(action, runs, tmp_path)


@pytest.mark.long
def test_a_command_that_is_killed_has_logged_the_whole_table_or_nothing(book: Book, tmp_path: Path) -> None:
    names = [f"Student {number}" for number in range(100)]
    with book.writing() as w:
        for name in names:
            add_student(w, name)
        save_worksheet(w, _worksheet("QB-1", keys=("k1", "k2", "k3")), names)
    table = tmp_path / "answers.csv"
    rows = [f"{name},{item},Qg7" for name in names for item in (1, 2, 3)]
    table.write_text("\n".join(["student,item,answer", *rows]), encoding="utf-8")
    code = "from coachbook.cli.main import main; main()"
    command = [
        sys.executable,
        "-c",
        code,
        "log",
        "answers",
        "QB-1",
        "--table",
        str(table),
        "--book",
        str(book.path),
    ]
    begun = time.monotonic()
    subprocess.run(command, check=True, capture_output=True)
    most, expected = time.monotonic() - begun, len(rows)
    chance = random.Random(6)  # noqa: S311 - moments to kill at are no secret
    for _ in range(5):
        with subprocess.Popen(command, stdout=subprocess.PIPE, text=True) as process:
            time.sleep(chance.uniform(most / 2, most * 1.1))
            process.kill()
            assert process.stdout is not None
            acknowledged = "Kept: " in process.stdout.read()
        checked = check_book(open_book(book.path), DAY, 12, lambda _done, _of, _what: None)
        assert checked.findings == ()
        assert checked.answers in (expected, expected + len(rows))
        assert checked.answers == expected + len(rows) or not acknowledged
        expected = checked.answers

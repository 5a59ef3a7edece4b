import subprocess
import sys
from collections.abc import Sequence
from concurrent.futures import ThreadPoolExecutor
from operator import attrgetter
from pathlib import Path

import pytest

from coachbook.club.backup import own_backups
from coachbook.club.book import Book
from coachbook.club.log import last_entries
from coachbook.club.results import attendance
from coachbook.club.students import add_student, list_students
from coachbook.club.taken_back import take_back
from coachbook.workflows.checking import check_book
from tests.club.conftest import EVENING, NOW

# Reads, then writes what follows from it: a writer that had not seen the other's last
# student would give the same number twice.
WRITER = """
import sys
from datetime import date, datetime, timedelta, timezone
from pathlib import Path
from coachbook.club.book import open_book
from coachbook.club.log import log_attendance
from coachbook.club.students import add_student, list_students
from coachbook.model.facts import Attendance

for turn in range(int(sys.argv[2])):
    book = open_book(Path(sys.argv[1]))
    with book.writing() as w:
        name = add_student(w, f"Student {len(list_students(w)) + 1}").name
        mark = Attendance(name, date(2026, 1, 1) + timedelta(days=turn), present=True)
        log_attendance(w, [mark], datetime(2026, 1, 1, tzinfo=timezone.utc))
    with book.reading() as r:
        assert list_students(r)
"""


def test_two_programs_that_write_at_once_lose_nothing(book: Book) -> None:
    turns = 40
    writers = [
        subprocess.Popen(
            [sys.executable, "-c", WRITER, str(book.path), str(turns)], stderr=subprocess.PIPE, text=True
        )
        for _ in range(2)
    ]
    complaints = [writer.communicate()[1] for writer in writers]
    assert complaints == ["", ""]
    with book.writing() as w:
        assert {student.name for student in list_students(w)} == {
            f"Student {number}" for number in range(1, 2 * turns + 1)
        }
        assert len(attendance(w)) == 2 * turns
        assert take_back(w, NOW).id == 2 * turns


def test_a_thread_that_writes_comes_after_the_one_before_it(book: Book) -> None:
    def write(names: Sequence[str]) -> None:
        for name in names:
            with book.writing() as w:
                add_student(w, name)

    with ThreadPoolExecutor(1) as pool:
        with book.writing() as w:
            second = pool.submit(write, ["Tom", "Mina"])
            assert not second.done()
            add_student(w, "Zoe")
        second.result()
    with book.reading() as r:
        assert [student.name for student in sorted(list_students(r), key=attrgetter("id"))] == [
            "Zoe",
            "Tom",
            "Mina",
        ]


# Each logs answers one entry at a time, and reads between, as an evening is typed in.
LOGGER = """
import sys
from pathlib import Path
from coachbook.club.book import open_book
from coachbook.club.students import list_students
from coachbook.model.facts import ItemResult
from coachbook.workflows.evening_log import keep_answers
from tests.club.conftest import EVENING, NOW

path, name, turns = Path(sys.argv[1]), sys.argv[2], int(sys.argv[3])
book = open_book(path)
for turn in range(turns):
    told = f"{name} {turn}"
    keep_answers(book, (ItemResult(name, "QB-1", "queen-box", 1, EVENING, told, False, "unreadable"),), NOW)
    with book.reading() as r:
        assert {student.name for student in list_students(r)} >= {name}
"""

KEEPER = """
import sys
from datetime import datetime
from pathlib import Path
from coachbook.club.backup import back_up
from coachbook.club.book import open_book
from coachbook.workflows.checking import check_book
from tests.club.conftest import EVENING

path, flag = Path(sys.argv[1]), Path(sys.argv[2])
while not flag.exists():
    back_up(path, datetime(2026, 11, 25, 8))
    checked = check_book(open_book(path), EVENING, 12, lambda done, of, what: None)
    assert checked.findings == (), checked.findings
    for made in path.parent.glob("*.backups/*-080000*.book"):
        made.unlink()
"""


@pytest.mark.full
@pytest.mark.parametrize("turns", [40, pytest.param(2000, marks=pytest.mark.long)])
def test_nothing_is_lost_while_two_programs_log_and_a_third_backs_up_and_checks(
    evening_book: Book, tmp_path: Path, turns: int
) -> None:
    flag = tmp_path / "done"
    loggers = [_start(LOGGER, str(evening_book.path), name, str(turns)) for name in ("Mina", "Tom")]
    keeper = _start(KEEPER, str(evening_book.path), str(flag))
    complaints = [logger.communicate()[1] for logger in loggers]
    flag.touch()
    complaints.append(keeper.communicate()[1])
    assert complaints == ["", "", ""]
    with evening_book.reading() as r:
        written = r.session.connection().exec_driver_sql("SELECT written FROM answer").scalars().all()
        assert sorted(written) == sorted(
            f"{name} {turn}" for name in ("Mina", "Tom") for turn in range(turns)
        )
        assert len(last_entries(r, 3 * turns)) == 2 * turns
    assert check_book(evening_book, EVENING, 12, lambda _done, _of, _what: None).findings == ()
    assert own_backups(evening_book.path)


def _start(code: str, *arguments: str) -> subprocess.Popen[str]:
    return subprocess.Popen(
        [sys.executable, "-c", code, *arguments],
        stderr=subprocess.PIPE,
        text=True,
        cwd=Path(__file__).parents[2],
    )

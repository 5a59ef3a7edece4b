import subprocess
import sys

from coachbook.club.book import Book
from coachbook.club.log import undo
from coachbook.club.results import attendance
from coachbook.club.students import list_students

# Reads, then writes what follows from it: a writer that had not seen the other's last
# student would give the same number twice.
WRITER = """
import sys
from datetime import date, datetime, timedelta, timezone
from pathlib import Path
from coachbook.club.book import open_book
from coachbook.club.log import log_attendance
from coachbook.club.students import add_student, list_students
from coachbook.model.club import Attendance

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
        assert undo(w).id == 2 * turns

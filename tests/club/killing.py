"""Kills a program at random moments while it does something to a book, and looks what is left.

`python -m tests.club.killing ACTION RUNS SEED FOLDER` exits with an AssertionError if a book was
harmed, and else prints how often the action was done when the kill came, and how often it was not.
It is a process of its own, for a test runner with its threads cannot safely be forked.
"""

import os
import random
import shutil
import signal
import sqlite3
import sys
import time
from collections import Counter
from collections.abc import Callable
from contextlib import closing
from datetime import date, datetime, timedelta
from functools import partial
from itertools import count
from pathlib import Path

from coachbook.club.backup import back_up, back_up_to, backups_folder, own_backups
from coachbook.club.book import Book, create_book, open_book
from coachbook.club.erase import rename_student
from coachbook.club.restore import restore
from coachbook.club.sheets import save_worksheet
from coachbook.club.soundness import find_fault_of_backup
from coachbook.club.students import add_student
from coachbook.model.facts import ItemResult
from coachbook.workflows.checking import check_book
from coachbook.workflows.evening_log import keep_answers
from tests.club.conftest import CLUB, EVENING, NOW, _worksheet
from tests.club.traces import erase_everywhere, taken_out

NAME = "Wilhelmina"
DAY = date(2026, 11, 25)
MORNING = datetime(2026, 11, 26, 9, 5, 7)
Report = Callable[[str], object]
Action = Callable[[Report], object]


def killed_after(seconds: float, action: Action) -> list[str]:
    """What a child reported that did `action` and was killed after so many seconds."""
    reading, writing = os.pipe()
    child = os.fork()
    if child == 0:
        os.close(reading)
        try:
            action(lambda told: os.write(writing, f"{told}\n".encode()))
        finally:
            os._exit(0)
    os.close(writing)
    time.sleep(seconds)
    os.kill(child, signal.SIGKILL)
    with os.fdopen(reading) as pipe:
        told = pipe.read().splitlines()
    os.waitpid(child, 0)
    return told


def seconds_of(action: Action) -> float:
    """How long an action takes in a child that is not killed."""
    begun = time.monotonic()
    child = os.fork()
    if child == 0:
        try:
            action(str)
        finally:
            os._exit(0)
    os.waitpid(child, 0)
    return time.monotonic() - begun


def new_book(folder: Path) -> Book:
    book = create_book(folder / "club.book", CLUB)
    with book.writing() as w:
        for name in (NAME, "Tom"):
            add_student(w, name)
        save_worksheet(w, _worksheet("QB-1", keys=("k1", "k2", "k3")), [NAME, "Tom"])
    return book


def log(book: Book, written: str, student: str = "Tom") -> None:
    answer = ItemResult(student, "QB-1", "queen-box", 1, EVENING, written, right=False, slip="unreadable")
    keep_answers(book, (answer,), NOW)


def contents(path: Path) -> list[str]:
    """All that a book holds, but which numbers were given: they only grow."""
    with closing(sqlite3.connect(path)) as connection:
        return [
            line for line in connection.iterdump() if not line.startswith('INSERT INTO "sqlite_sequence"')
        ]


def assert_whole(path: Path) -> None:
    checked = check_book(open_book(path), DAY, 12, lambda _done, _of, _what: None)
    assert checked.findings == (), checked.findings


def files_with(name: str, folder: Path) -> list[Path]:
    files = [path for path in folder.rglob("*") if path.is_file()]
    forms = [name.encode(coding) for coding in ("utf-8", "utf-16-le", "utf-16-be")]
    return [path for path in files if any(form in path.read_bytes() for form in forms)]


def kill_logging(folder: Path, runs: int, chance: random.Random) -> Counter[str]:
    """Every answer that was acknowledged is there, none twice, and none but the last besides."""
    seen = Counter[str]()
    for turn in range(runs):
        if turn % 25 == 0:
            shutil.rmtree(folder)
            folder.mkdir()
            book, before = new_book(folder), list[str]()
        acknowledged = killed_after(chance.uniform(0, 0.2), partial(_log_on, book, turn))
        with open_book(book.path).reading() as r:
            query = "SELECT written FROM answer ORDER BY entry_id"
            kept = list(r.session.connection().exec_driver_sql(query).scalars())
        beyond = kept[len(before) + len(acknowledged) :]
        assert kept == before + acknowledged + beyond, (turn, acknowledged, kept)
        assert beyond in ([], [f"{turn}.{len(acknowledged)}"]), (turn, acknowledged, beyond)
        assert_whole(book.path)
        before = kept
        seen["answers"] += len(acknowledged)
        seen["kept, not yet acknowledged"] += len(beyond)
    return seen


def _log_on(book: Book, turn: int, report: Report) -> None:
    for number in count():
        log(book, f"{turn}.{number}")
        report(f"{turn}.{number}")


def kill_backup(folder: Path, runs: int, chance: random.Random) -> Counter[str]:
    """A backup is whole, or not there."""
    seen, book = Counter[str](), new_book(folder)
    path = book.path
    log(book, "first")
    expected = contents(path)

    def action(report: Report) -> None:
        for number in count():
            report(back_up(path, MORNING + timedelta(seconds=number)).name)

    most = 3 * seconds_of(lambda _report: back_up(path, MORNING))
    for _ in range(runs):
        shutil.rmtree(backups_folder(path))
        reported = killed_after(chance.uniform(0, most), action)
        made = own_backups(path)
        assert {backup.name for backup in made} >= set(reported)
        assert len(made) <= len(reported) + 1
        assert all(find_fault_of_backup(backup) is None for backup in made)
        assert all(contents(backup) == expected for backup in made)
        back_up(path, MORNING + timedelta(days=1))
        assert all(each.suffix == ".book" for each in backups_folder(path).iterdir())
        assert contents(path) == expected
        assert_whole(path)
        seen["done" if len(made) > len(reported) else "not done"] += 1
    return seen


def kill_restore(folder: Path, runs: int, chance: random.Random) -> Counter[str]:
    """The book holds what it held, or what the backup holds."""
    seen, book = Counter[str](), new_book(folder)
    path, backup = book.path, folder / "copy.book"
    back_up_to(path, backup)
    log(book, "later")
    later = back_up(path, MORNING)
    held = {"not done": contents(path), "done": contents(backup)}

    def action(_report: Report) -> None:
        restore(path, backup, MORNING)

    most = 1.3 * seconds_of(action)
    for _ in range(runs):
        restore(path, later, MORNING)
        assert contents(path) == held["not done"]
        killed_after(chance.uniform(0, most), action)
        found = [how for how, dump in held.items() if dump == contents(path)]
        assert len(found) == 1
        assert_whole(path)
        seen[found[0]] += 1
    return seen


def kill_rewriting(
    folder: Path, runs: int, chance: random.Random, change: Callable[[Path], object]
) -> Counter[str]:
    """The student is in the book, with everything, or is not; after another try no byte is left."""
    seen, book = Counter[str](), new_book(folder)
    template = book.path
    for number in range(4):
        log(book, f"ask {NAME}", NAME)
        log(book, f"ask {NAME} again")
        back_up(template, MORNING + timedelta(seconds=number))
    before = contents(template)
    room = folder / "room"

    def fresh() -> Path:
        shutil.rmtree(room, ignore_errors=True)
        shutil.copytree(template.parent, room, ignore=lambda _folder, _names: ["room"])
        return room / template.name

    path = fresh()
    most = 1.3 * seconds_of(lambda _report: change(path))
    after = contents(path)
    for _ in range(runs):
        path = fresh()
        killed_after(chance.uniform(0, most), partial(_do, change, path))
        assert_whole(path)  # opens it, which finishes what was only to be cleaned
        found = contents(path)
        assert found in (before, after)
        if found == before:
            change(path)
        assert contents(path) == after
        assert files_with(NAME, room) == []
        assert_whole(path)
        seen["not done" if found == before else "done"] += 1
    return seen


def _do(change: Callable[[Path], object], path: Path, _report: Report) -> None:
    change(path)


def kill_erasing(folder: Path, runs: int, chance: random.Random) -> Counter[str]:
    return kill_rewriting(folder, runs, chance, lambda path: erase_everywhere(path, NAME))


def kill_renaming(folder: Path, runs: int, chance: random.Random) -> Counter[str]:
    def rename(path: Path) -> object:
        return rename_student(path, NAME, "Ada", taken_out(path, NAME, "Ada"))

    return kill_rewriting(folder, runs, chance, rename)


def kill_creating(folder: Path, runs: int, chance: random.Random) -> Counter[str]:
    """A new book is there and can be opened, or is not there and can be made."""
    seen = Counter[str]()
    path = folder / "club.book"

    def action(_report: Report) -> None:
        create_book(path, CLUB)

    most = 1.3 * seconds_of(action)
    for _ in range(runs):
        path.unlink()
        killed_after(chance.uniform(0, most), action)
        seen["done" if path.exists() else "not done"] += 1
        if not path.exists():
            create_book(path, CLUB)
        assert_whole(path)
    return seen


ACTIONS = {
    "logging": kill_logging,
    "backup": kill_backup,
    "restore": kill_restore,
    "erasing": kill_erasing,
    "renaming": kill_renaming,
    "creating": kill_creating,
}

if __name__ == "__main__":
    action_name, wanted, seed, place = sys.argv[1:]
    moments = random.Random(int(seed))  # noqa: S311 - moments to kill at are no secret
    print(dict(ACTIONS[action_name](Path(place), int(wanted), moments)))  # noqa: T201 - read by the test

import functools
import shutil
import sys
import tempfile
import webbrowser
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from datetime import date
from pathlib import Path

import pytest
import typer.main
from typer.testing import CliRunner

from coachbook.cli import options
from coachbook.desk import server
from tests.cli.desk import Desk
from tests.cli.drive import done, run, sheet_in

SYLLABUS = Path(__file__).with_name("syllabus")
TODAY = date(2026, 12, 10)
"""A Thursday, the last evening of the clubs' plans: nothing that these tests log is still to come."""


class Calendar(date):
    """On which it is always the same day."""

    now = TODAY

    @classmethod
    def today(cls) -> date:  # type: ignore[override] # a day is a day
        return cls.now


@pytest.fixture(autouse=True, scope="session")
def calendar() -> Iterator[type[Calendar]]:
    """The calendar at which the commands look; a test may say what day it is `now`."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(options, "date", Calendar)
        yield Calendar


@pytest.fixture(autouse=True, scope="session")
def one_tree_of_commands() -> Iterator[None]:
    """Building the tree of all commands takes twice as long as running one; it never changes."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(typer.main, "get_command", functools.cache(typer.main.get_command))
        yield


@pytest.fixture(autouse=True, scope="module")
def desks_close_at_once() -> Iterator[None]:
    """A desk that is opened here listens, tells its link, and is closed as by Ctrl-C; no browser opens."""

    def runs(desk: server._Server, **_: object) -> None:
        desk._call()
        raise KeyboardInterrupt

    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(server._Server, "run", runs)
        patch.setattr(webbrowser, "open", lambda _: True)
        yield


@dataclass(frozen=True, slots=True)
class Club:
    """A club in a folder of its own; `sheet` was given to the Owls on 2026-09-10."""

    folder: Path
    book: Path
    sheet: str


@pytest.fixture(scope="session")
def first_club(tmp_path_factory: pytest.TempPathFactory) -> Club:
    folder = tmp_path_factory.mktemp("club")
    book = folder / "club.book"
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("COACHBOOK_BOOK", str(book))
        patch.setenv("COACHBOOK_SYLLABUS", str(SYLLABUS))
        done("club", "new", "Harbour Lane")
        for group in ("Owls", "Foxes"):
            done("group", "add", group)
        for name, group in (("Ana", "Owls"), ("Bo", "Owls"), ("Łucja", "Owls"), ("Dee", "Foxes")):
            done("student", "add", name, "--group", group)
        day = ("--date", "2026-09-10", "--seed", "7")
        made = done("sheet", "make", "queen-box", "--group", "Owls", *day, "--to", str(folder))
    code = made.splitlines()[1].split()[0]
    assert sheet_in(book, code).code == code
    return Club(folder, book, code)


@pytest.fixture
def club(first_club: Club, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Club:
    """A fresh copy, which the commands take as theirs."""
    folder = tmp_path / "club"
    shutil.copytree(first_club.folder, folder)
    book = folder / first_club.book.name
    monkeypatch.setenv("COACHBOOK_BOOK", str(book))
    monkeypatch.setenv("COACHBOOK_SYLLABUS", str(SYLLABUS))
    monkeypatch.chdir(folder)
    return Club(folder, book, first_club.sheet)


AfterOnce = Callable[[Callable[[Club], Club]], Club]
_made_once: dict[Callable[[Club], Club], Club] = {}


@pytest.fixture
def after_once(
    first_club: Club, club: Club, tmp_path_factory: pytest.TempPathFactory, monkeypatch: pytest.MonkeyPatch
) -> AfterOnce:
    """The club after what a file's tests all begin with: it is done once, and then copied."""

    def after(step: Callable[[Club], Club]) -> Club:
        if step not in _made_once:
            folder = tmp_path_factory.mktemp("once") / "club"
            shutil.copytree(first_club.folder, folder)
            book = folder / first_club.book.name
            with monkeypatch.context() as patch:
                patch.setenv("COACHBOOK_BOOK", str(book))
                patch.chdir(folder)
                _made_once[step] = step(Club(folder, book, first_club.sheet))
        made = _made_once[step]
        shutil.copytree(made.folder, club.folder, dirs_exist_ok=True)
        return Club(club.folder, club.book, made.sheet)

    return after


@pytest.fixture
def at_a_terminal(monkeypatch: pytest.MonkeyPatch) -> Callable[[], None]:
    """Once called, what is typed comes from a terminal."""
    wrapper = vars(sys.modules[CliRunner.__module__])["_NamedTextIOWrapper"]
    return lambda: monkeypatch.setattr(
        wrapper, "isatty", lambda stream: stream.name == "<stdin>", raising=False
    )


@pytest.fixture
def new_coach(tmp_path: Path, monkeypatch: pytest.MonkeyPatch, at_a_terminal: Callable[[], None]) -> Path:
    """The empty folder of a coach who sits at a terminal in it, with a book still to be made."""
    monkeypatch.setenv("COACHBOOK_BOOK", str(tmp_path / "club.book"))
    monkeypatch.delenv("COACHBOOK_SYLLABUS", raising=False)
    monkeypatch.chdir(tmp_path)
    at_a_terminal()
    return tmp_path


@pytest.fixture(scope="session")
def busy_club(first_club: Club, tmp_path_factory: pytest.TempPathFactory) -> Club:
    """The same club some evenings later, with something of everything in its book."""
    folder = tmp_path_factory.mktemp("busy") / "club"
    shutil.copytree(first_club.folder, folder)
    book = folder / first_club.book.name
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("COACHBOOK_BOOK", str(book))
        patch.setenv("COACHBOOK_SYLLABUS", str(SYLLABUS))
        patch.chdir(folder)
        done("group", "add", "Bears")
        for name in ("أحمد", "O'Neil-Smith", "Zo\u00eb", "x" * 60):
            done("student", "add", name, "--group", "Foxes")
        day, seed = ("--date", "2026-09-17"), ("--seed", "8", "--items", "2")
        made = run("sheet", "make", "queen-box", "--group", "Foxes", "--each", *day, *seed)
        assert made.code == 0  # It tells on stderr that a name there has letters of which no font knows.
        done("log", "attendance", "Ana", "Bo", "--group", "Owls", "--date", "2026-09-10")
        done("log", "answers", first_club.sheet, "--date", "2026-09-10", typed="1 2 Qa1 Qb2 Qc3 Qd4\n\n\n\n")
        done("log", "playout", "Ana", "PLAY-QUEEN-BOX-1", "mated in 9", *day)
        done("log", "note", "Bo", "two-majors", "guards the fence", "--can", *day)
        evenings = ("--from", "2026-09-24", "--until", "2026-12-10", "--weekday", "thu", "--minutes", "60")
        done("term", "plan", "--group", "Owls", *evenings)
        done("term", "pin", "queen-box", "2026-10-22", "--group", "Owls", "--from", "2026-09-24")
        done("evening", "prepare", "2026-10-08", "--group", "Owls", "--to", "tonight")
        done("backup", "--to", "copy.book")
    (folder / "notes.csv").write_text("Not to be lost.\n", encoding="utf-8")
    (folder.parent / "outside.txt").write_text("Not to be touched.\n", encoding="utf-8")
    return Club(folder, book, first_club.sheet)


@pytest.fixture
def desk(
    busy_club: Club, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, at_a_terminal: Callable[[], None]
) -> Desk:
    """A copy of the busy club, alone on the machine, with a coach at the keyboard."""
    home = tmp_path / "home"
    shutil.copytree(busy_club.folder.parent, home)
    folder = home / "club"
    for variable in ("HOME", "XDG_DATA_HOME"):
        monkeypatch.setenv(variable, str(home))
    monkeypatch.setattr(tempfile, "tempdir", str(home))
    monkeypatch.setenv("COACHBOOK_BOOK", str(folder / busy_club.book.name))
    monkeypatch.setenv("COACHBOOK_SYLLABUS", str(SYLLABUS))
    monkeypatch.chdir(folder)
    at_a_terminal()  # who is asked can answer
    return Desk(folder, folder / busy_club.book.name)

"""A desk on which any command may be tried: what it does is looked at, and then put back."""

import logging
import os
import re
import sqlite3
import sys
import unicodedata
from collections import Counter
from collections.abc import Container, Iterator, Mapping, Sequence
from contextlib import closing, contextmanager
from dataclasses import dataclass, field
from itertools import pairwise
from pathlib import Path
from urllib.parse import unquote

from coachbook.files.places import cache_folder
from tests.cli.drive import Ran, everything_in, run

Log = Mapping[int, Counter[str]]
"""How many facts each entry of a book's log has, by table."""

Contents = Mapping[str, bytes | None]
"""All files (their bytes) and folders (None) below a folder, by name."""

_PLANS = "term_plan"
_FACTS = ("answer", "attendance", "play_out", "observation")
_COUNTED = {
    "answer": r"(\d+) answers? of ",
    "attendance": r"(?:\d+ of (\d+) there|attendance, \S* ?evenings .*|attendance of .*: (?:there|absent))$",
}
_UNDONE = r"(?:^|\[y/N\] )Taken back: "
_LONGEST_LINE = 1000
_MAGIC = b"SQLite format 3\0"
_OF_THE_DAY = re.compile(r"(-daily-\d+\.book|\.book\.backups|\.book\.typed)$")
"""Made before the first thing is logged, and put aside until it is."""
_UNFINISHED = (".part", "-wal", "-shm", "-journal")
_WRITING = os.O_WRONLY | os.O_RDWR | os.O_CREAT
# Which arguments of Python's audit events (https://docs.python.org/3/library/audit_events.html) are
# files that change.
_CHANGING = {
    "os.chmod": (0,),
    "os.link": (0, 1),
    "os.mkdir": (0,),
    "os.remove": (0,),
    "os.rename": (0, 1),
    "os.rmdir": (0,),
    "os.symlink": (1,),
    "os.truncate": (0,),
}
_FORBIDDEN = {"os.exec", "os.posix_spawn", "os.system", "socket.connect", "subprocess.Popen"}
_HARMLESS = "\n\N{ZERO WIDTH JOINER}\N{ZERO WIDTH NON-JOINER}"
_HIDDEN = ("Cc", "Cf", "Cs", "Co", "Zl", "Zp")
_allowed: tuple[str, ...] = ()


class _Logged(logging.Handler):
    """What libraries log, and Python would write to stderr if pytest did not catch it."""

    def __init__(self) -> None:
        super().__init__(logging.WARNING)
        self.told: list[str] = []

    def emit(self, record: logging.LogRecord) -> None:
        self.told.append(record.getMessage())


class StrayedError(AssertionError):
    """A command was about to change something outside its folder. It was not let."""


@dataclass(frozen=True, slots=True)
class Call:
    """A command line, the files that lie in the folder, and what is typed; `then` are other commands,
    run if the first one has changed something."""

    words: tuple[str, ...]
    files: Mapping[str, bytes] = field(default_factory=dict)
    typed: bytes = b""
    then: tuple[tuple[str, ...], ...] = ()


@dataclass(frozen=True, slots=True)
class Tried:
    """What a command told, and the facts of each entry that it logged, by table; and what the commands
    after it told."""

    ran: Ran
    logged: tuple[Counter[str], ...]
    after: tuple[Ran, ...]


class Desk:
    """A club's folder, in which commands run, and around which nothing ever changes."""

    def __init__(self, folder: Path, book: Path) -> None:
        self.folder = folder
        self.book = book
        self._around = folder.parent
        self._first = everything_in(self._around)

    def try_out(self, call: Call) -> Tried:
        """Runs it, and asserts what holds for every command. The desk is as before then."""
        try:
            for name, content in call.files.items():
                path = self.folder / name
                path.parent.mkdir(parents=True, exist_ok=True)
                path.write_bytes(content)
            book = self.folder / _named_book(call.words, self.book)
            damaged = {name for name in call.files if faults_of(self.folder / name)}
            log, before = log_of(book), everything_in(self._around)
            ran = self._run(call.words, call.typed)
            _check_told(ran)
            after = everything_in(self._around)
            changed = [name for name in _differing(before, after) if not _OF_THE_DAY.search(name)]
            kept = re.findall(r"(?:^|[\])] |  )Kept: (.*)\.$", ran.out, re.MULTILINE)
            assert ran.code == 0 or kept or not changed, (ran, changed)
            self._check_files(changed, after, damaged)
            now = log_of(book)
            if not re.search("^(Brought back|Erased): ", ran.out, re.MULTILINE):
                _check_log(log, now, kept, undone=re.search(_UNDONE, ran.out) is not None)
            logged = tuple(facts for number, facts in now.items() if number not in log)
            return Tried(ran, logged, tuple(map(self._go_on, call.then if changed else ())))
        finally:
            self._put_back()

    @property
    def sheets(self) -> tuple[str, ...]:
        """The codes of the sheets in the book."""
        with closing(sqlite3.connect(self.book)) as book:
            return tuple(code for (code,) in book.execute("SELECT code FROM sheet ORDER BY code"))

    def _run(self, words: Sequence[str], typed: bytes = b"") -> Ran:
        logged = _Logged()
        logging.getLogger().addHandler(logged)
        try:
            with _nothing_strays_from(self._around):
                return run(*words, typed=typed)
        finally:
            logging.getLogger().removeHandler(logged)
            assert logged.told == [], words

    def _go_on(self, words: tuple[str, ...]) -> Ran:
        ran = self._run(words)
        _check_told(ran)
        return ran

    def _check_files(self, changed: Sequence[str], after: Contents, damaged: Container[str]) -> None:
        """Each is in the folder, whole, and a sound book if it is one (and was no damaged one before)."""
        for name in changed:
            inside = name.removeprefix(f"{self.folder.name}/")
            assert inside != name, changed
            assert name not in after or not name.endswith(_UNFINISHED), changed
            assert inside in damaged or not faults_of(self._around / name), changed

    def _put_back(self) -> None:
        now = everything_in(self._around)
        changed = _differing(self._first, now)
        for name in sorted(changed, reverse=True):
            if name in now and (name not in self._first or now[name] is None):
                path = self._around / name
                path.rmdir() if now[name] is None else path.unlink()
        for name in sorted(changed):
            content = self._first.get(name)
            if content is not None:
                (self._around / name).write_bytes(content)
            elif name in self._first:
                (self._around / name).mkdir()


def log_of(book: Path) -> Log:
    """The log of a book; nothing of a file that is none."""
    found: dict[int, Counter[str]] = {}
    try:
        if not book.is_file():
            return {}
        with closing(sqlite3.connect(book)) as connection:
            for (number,) in connection.execute("SELECT id FROM log_entry"):
                found[number] = Counter()
            for table in (*_FACTS, _PLANS):
                counted = f"SELECT entry_id, count(*) FROM {table} GROUP BY entry_id"  # noqa: S608 - our tables
                for number, count in connection.execute(counted):
                    found.setdefault(number, Counter())[table] = count
    except (OSError, UnicodeDecodeError, sqlite3.Error):
        return {}
    return found


def faults_of(path: Path) -> list[object]:
    """What is wrong with a database; nothing with another file, or if there is none."""
    if not path.is_file() or not path.read_bytes().startswith(_MAGIC):
        return []
    try:
        with closing(sqlite3.connect(path)) as book:
            found = book.execute("PRAGMA quick_check").fetchall()
            return [*book.execute("PRAGMA foreign_key_check"), *(told for told in found if told != ("ok",))]
    except (sqlite3.Error, UnicodeDecodeError) as error:
        return [error]


def _named_book(words: Sequence[str], usual: Path) -> str | Path:
    options = words[: words.index("--")] if "--" in words else words
    named = [value for option, value in pairwise(options) if option == "--book"]
    return named[-1] if named else usual


def _check_told(ran: Ran) -> None:
    """Exit code 0 or 2; with 2 a line for each mistake. Nothing that a terminal would obey is told, nor
    what turns letters about."""
    assert ran.code in (0, 2), ran
    for sign in {*ran.out, *ran.err} - {*_HARMLESS}:
        assert unicodedata.category(sign) not in _HIDDEN, (sign, ran)
    if ran.code == 2 and not ran.err.startswith("Usage: coachbook"):
        assert ran.problems
        for line in ran.problems:
            assert len(ran.problems) == 1 or line.count(": ") >= 3, ran  # its file, the place, the mistake
            assert line.startswith("coachbook: "), ran
            assert "Traceback" not in line, ran
            assert len(line) <= _LONGEST_LINE, ran


def _check_log(before: Log, after: Log, kept: Sequence[str], *, undone: bool) -> None:
    """What was told is what was kept: each new entry with all of its facts; and no old one has changed.
    Plans are told in words of their own."""
    gone = [number for number in before if number not in after and (undone or _PLANS not in before[number])]
    assert len(gone) == undone, (gone, kept)
    before, after = ({number: f for number, f in log.items() if _PLANS not in f} for log in (before, after))
    new = [facts for number, facts in after.items() if number not in before]
    assert len(new) == len(kept), (new, kept)
    for facts, words in zip(new, kept, strict=True):
        assert len(facts) == 1, (facts, words)
        (table,) = facts
        counted = re.search(_COUNTED.get(table, "^"), words)
        assert counted, (facts, words)
        assert all(int(count) == facts[table] for count in counted.groups() if count), (facts, words)
    assert all(after[number] == before[number] for number in before if number in after), (before, after)


def _differing(one: Contents, other: Contents) -> list[str]:
    missing = object()
    return [name for name in {**one, **other} if one.get(name, missing) != other.get(name, missing)]


@contextmanager
def _nothing_strays_from(folder: Path) -> Iterator[None]:
    """Within, a change outside the folder (and the tables' cache) is not let: StrayedError."""
    global _allowed
    _allowed = (str(folder), str(cache_folder()))
    try:
        yield
    finally:
        _allowed = ()


def _watch(event: str, values: tuple[object, ...]) -> None:
    if not _allowed:
        return
    if event in _FORBIDDEN:
        raise StrayedError(f"{event} {values}")
    if event == "open" and isinstance(values[2], int) and values[2] & _WRITING:
        _check_inside(values[0])
    if event == "sqlite3.connect" and "mode=ro" not in str(values[0]):
        _check_inside(values[0])
    for place in _CHANGING.get(event, ()):
        _check_inside(values[place])


def _check_inside(path: object) -> None:
    if isinstance(path, int) or path in (os.devnull, ":memory:", ""):
        return
    text = os.fsdecode(path)  # type: ignore[arg-type]  # what is opened is a str, bytes or a path
    if text.startswith("file://"):
        text = unquote(text.removeprefix("file://").partition("?")[0])
    place = Path(os.path.normpath(Path.cwd() / text))
    if "__pycache__" not in place.parts and not any(place.is_relative_to(each) for each in _allowed):
        raise StrayedError(str(place))


sys.addaudithook(_watch)

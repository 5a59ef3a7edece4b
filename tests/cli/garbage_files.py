"""Files that nobody should have: tables, games, calendars, syllabuses and books, right and not right."""

import csv
import io
import sqlite3
from collections.abc import Mapping, Sequence
from contextlib import closing
from dataclasses import dataclass, field
from pathlib import Path

from hypothesis import strategies as st

from tests.cli import garbage
from tests.cli.garbage import Sort, Words, one_of

SYLLABUS = Path(__file__).with_name("syllabus")

Contents = st.SearchStrategy[bytes]


@dataclass(frozen=True, slots=True)
class Given:
    """A word of a command line, and the files that must be there for it."""

    word: str
    files: Mapping[str, bytes] = field(default_factory=dict)


Source = st.SearchStrategy[Given]

_MISSING = ("", " ", ".", "missing", "missing/x", "a/" * 2000, "x" * 300, "\n", "\x1b[2J", "\udcff", "~", "-")
_NOT_MEANT = ("club.book", "club.book/x", "club.book.backups", "/", "..", "../outside.txt", "/etc/passwd")

_DEVICES = ("/dev/null", "/dev/zero", "/dev/full")


def read_from(name: str, right: Contents, wild: Contents) -> tuple[Source, Source]:
    """A file called `name` to read; or one that is not there, or is something else."""
    nowhere = one_of(*_MISSING, *_NOT_MEANT, *_DEVICES) | garbage.texts().map(_harmless)
    return (
        right.map(lambda content: Given(name, {name: content})),
        wild.map(lambda content: Given(name, {name: content})) | nowhere.map(Given),
    )


def written_to(*right: str) -> tuple[Source, Source]:
    """A place to write to, always in the folder where the command runs: new, taken, or impossible."""
    taken = one_of(
        "club.book",
        "club.book-wal",
        "copy.book",
        "copy.book-shm",
        "club.book.backups",
        "notes.csv",
        "notes.csv/x",
    )
    odd = one_of(*_MISSING, "/dev/full").map(lambda name: name.replace("a/", "")) | garbage.texts().map(
        _inside
    )
    return one_of(*right).map(Given), (taken | odd).map(Given)


def _inside(text: str) -> str:
    name = text.replace("/", "_")
    return "_" if name == ".." else name


def _harmless(text: str) -> str:
    """Reading /dev/stdin or a device would wait for ever."""
    return text.replace("/", "_") if "dev" in text else text


# --- text that is broken ---------------------------------------------------------------------------


@st.composite
def broken(draw: st.DrawFn, right: Contents) -> bytes:
    """The right bytes, cut, joined, with other bytes in between, or in another encoding."""
    content = draw(right)
    place = draw(st.integers(0, len(content)))
    head, tail = content[:place], content[place:]
    nasty = st.sampled_from((b"\0", b'"', b"\r", b"\xff", b"\x1b[2J", b"\xc2\x9b"))
    odd = draw(st.binary(max_size=8) | nasty)
    text = content.decode(errors="replace")
    return draw(
        st.sampled_from(
            (
                head,
                head + odd + tail,
                head + odd + tail[len(odd) :],
                head + head,
                b"\xef\xbb\xbf" + content,
                b"\xff\xfe" + text.encode("utf-16-le", errors="replace"),
                text.encode("latin-1", errors="replace"),
                content.replace(b"\n", b"\r"),
            )
        )
    )


def bytes_of_any_kind() -> Contents:
    return st.binary(max_size=200) | garbage.texts().map(_encoded)


def _encoded(text: str) -> bytes:
    return text.encode(errors="surrogateescape")


# --- tables ----------------------------------------------------------------------------------------


@st.composite
def tables(draw: st.DrawFn, columns: Mapping[str, Sort], optional: Sequence[str], wild: bool) -> bytes:
    """A table; if `wild`, with columns and values that may be missing, doubled or wrong."""
    names = [name for name in columns if name not in optional or draw(st.booleans())]
    names = list(draw(st.permutations(names)))
    if wild and draw(st.booleans()):
        names[draw(st.integers(0, len(names) - 1))] = draw(st.sampled_from(list(columns)) | garbage.texts())
    rows = draw(st.lists(_rows(names, columns, wild=wild), min_size=not wild, max_size=4))
    text = io.StringIO()
    table = csv.writer(text, draw(one_of("excel", "unix")), delimiter=draw(one_of(",", ";")))
    table.writerows([names, *rows])
    content = _encoded(text.getvalue())
    return draw(broken(st.just(content))) if wild and draw(st.booleans()) else content


@st.composite
def _rows(draw: st.DrawFn, names: Sequence[str], columns: Mapping[str, Sort], *, wild: bool) -> list[str]:
    sorts = [columns.get(name, garbage.student) for name in names]
    row = [draw(sort.wild if wild and draw(st.booleans()) else sort.right) for sort in sorts]
    if wild and draw(st.booleans()):
        row += [""]
    return row


def table_of(name: str, columns: Mapping[str, Sort], optional: Sequence[str] = ()) -> tuple[Source, Source]:
    right = tables(columns, optional, wild=False)
    return read_from(name, right, tables(columns, optional, wild=True) | bytes_of_any_kind())


# --- positions and games ---------------------------------------------------------------------------

_GAME = '[Event "Club"]\n[SetUp "1"]\n[FEN "{}"]\n\n{} *\n'


def positions(name: str) -> tuple[Source, Source]:
    """FEN, EPD or PGN for a coach's own positions."""
    right = one_of("k7/8/1K6/8/8/8/8/7R w - - 0 1\n", "7k/5K2/8/8/8/8/8/6R1 w - - bm Rg1;\n")
    lines = st.lists(garbage.fen.wild, max_size=4).map("\n".join)
    odd = one_of(
        "[" * 2000,
        '[FEN "x"]\n',
        "[Event]\n(((((",
        '[Event "a"]\n\n1. e4 (1. d4 (1. c4',
        '8/8/8/8/4k3/8/8/K1Q5 w - - bm Q9; id "\\\n',
        '8/8/8/8/4k3/8/8/K1Q5 w - - acd 1e999; c0 "',
        '[Variant "Crazyhouse"]\n\n1. e4 *',
        '[Variant "Chess960"]\n[FEN "8/8/8/8/4k3/8/8/K1Q5 w - - 0 1"]\n\n*',
        '[Event "{"]\n\n' + "(" * 3000 + "1. e4 *",
    )
    wild = (lines | games() | odd).map(_encoded)
    return read_from(name, right.map(_encoded), wild | broken(wild) | bytes_of_any_kind())


def games() -> Words:
    moves = garbage.moves() | garbage.told.wild
    return st.builds(_GAME.format, garbage.fen.right | garbage.fen.wild, moves)


def game(name: str) -> tuple[Source, Source]:
    """A played-out game of the small syllabus in PGN."""
    right = st.just(_GAME.format("8/8/8/8/4k3/8/8/K1Q5 w - - 0 1", "1. Qc5 Kd3 2. Kb2").encode())
    wild = games().map(_encoded)
    return read_from(name, right, wild | broken(right) | bytes_of_any_kind())


# --- calendars -------------------------------------------------------------------------------------

_ICS = (
    "BEGIN:VCALENDAR\r\nVERSION:2.0\r\nPRODID:-//x//EN\r\nBEGIN:VEVENT\r\nUID:1@x\r\n"
    "DTSTAMP:20260101T000000Z\r\nDTSTART{}\r\n{}END:VEVENT\r\nEND:VCALENDAR\r\n"
)


def calendar(name: str) -> tuple[Source, Source]:
    starts = one_of(
        ";VALUE=DATE:20261029",
        ":20261029T180000",
        ":20261029T180000Z",
        ";TZID=Europe/Dublin:20261029T180000",
        ";TZID=No/Where:20261029T180000",
        ":00010101T000000",
        ";VALUE=DATE:99991231",
        ":20260230",
        ":x",
    )
    more = one_of(
        "",
        "RRULE:FREQ=WEEKLY;COUNT=3\r\n",
        "RRULE:FREQ=YEARLY\r\n",
        "RRULE:FREQ=SECONDLY\r\n",
        "RRULE:FREQ=DAILY;INTERVAL=0\r\n",
        "RRULE:FREQ=DAILY;BYMONTHDAY=31;BYMONTH=2\r\n",
        "RRULE:FREQ=DAILY;UNTIL=99991231\r\n",
        "RRULE:x\r\n",
        "RDATE:20261105\r\n",
        "EXDATE:x\r\n",
        "DURATION:P99999999D\r\n",
        "DURATION:-P1D\r\n",
        "DTEND;VALUE=DATE:20261101\r\n",
        "DTEND:20260101T000000\r\n",
        "STATUS:CANCELLED\r\n",
        "RECURRENCE-ID:20261029\r\n",
        "BEGIN:VEVENT\r\n" * 500,
    )
    right = st.just(_ICS.format(";VALUE=DATE:20261029", "").encode())
    wild = st.builds(_ICS.format, starts, more).map(_encoded)
    return read_from(name, right, wild | broken(wild) | bytes_of_any_kind())


# --- folders ---------------------------------------------------------------------------------------


@st.composite
def _mutated_toml(draw: st.DrawFn, text: str) -> bytes:
    """A level file with one or two lines gone, doubled, moved, or with another value."""
    lines = text.splitlines()
    for _ in range(draw(st.integers(1, 2))):
        place = draw(st.integers(0, len(lines) - 1))
        key, equals, _ = lines[place].partition(" = ")
        value = draw(one_of(*_TOML_VALUES) | garbage.texts())
        lines[place : place + 1] = draw(
            st.sampled_from(
                ([], [lines[place]] * 2, [f"{key}{equals}{value}"], [value], [lines[place], lines[0]])
            )
        )
    return _encoded("\n".join(lines))


_TOML_VALUES = (
    *("0", "-1", "1", "9" * 30, "0.5", "nan", "inf", "true", "[]", "{}", '""', '"x"', "'''", '"\\u0007"'),
    *('["KQK"]', '["KQRBNK"]', '["K"]', '[""]', "[1]", '["queen-box"]', '["two-majors", "two-majors"]'),
    *('"8/8/8/8/8/8/8/8 w - - 0 1"', '"8/8/4k3/8/3Q4/8/8/K7 b - - 0 1"', '"every_mate"', "1979-05-27"),
    *("[" * 3000, '"' + "x" * 3000 + '"', '"\\u202e"', '"\\U0010ffff"', '"win"', '"draw"', '"hold"'),
)


def syllabus(folder: str) -> tuple[Source, Source]:
    """A folder of level files."""
    levels = {path.name: path.read_text(encoding="utf-8") for path in sorted(SYLLABUS.glob("*.toml"))}
    right = {f"{folder}/{name}": text.encode() for name, text in levels.items()}

    def with_one(name: str) -> Source:
        mutated = _mutated_toml(levels[name]) | broken(st.just(levels[name].encode())) | bytes_of_any_kind()
        return mutated.map(lambda content: Given(folder, {**right, f"{folder}/{name}": content}))

    nowhere = (one_of(*_MISSING, *_NOT_MEANT) | garbage.texts().map(_harmless)).map(Given)
    return st.just(Given(folder, right)), st.sampled_from(sorted(levels)).flatmap(with_one) | nowhere


def club_tables(folder: str, shipped: Path) -> tuple[Source, Source]:
    """A folder of an invented club's tables."""
    files = {f"{folder}/{path.name}": path.read_bytes() for path in sorted(shipped.iterdir())}

    def with_one(name: str) -> Source:
        content = broken(st.just(files[name])) | bytes_of_any_kind()
        return content.map(lambda bad: Given(folder, {**files, name: bad}))

    nowhere = one_of(*_MISSING, *_NOT_MEANT).map(Given)
    return st.just(Given(folder, files)), st.sampled_from(sorted(files)).flatmap(with_one) | nowhere


# --- books -----------------------------------------------------------------------------------------


def book(name: str, right: bytes) -> tuple[Source, Source]:
    """A book to open, or a file in the folder that is none, or no longer."""
    there = books(right).map(lambda content: Given(name, {name: content}))
    nowhere = one_of(*_MISSING, "club.book/x", "club.book.backups", "..", "notes.csv")
    odd = garbage.texts().map(_inside)
    return st.just(Given(name, {name: right})), there | (nowhere | odd).map(Given)


@st.composite
def books(draw: st.DrawFn, right: bytes) -> bytes:
    flipped = bytearray(right)
    for place in draw(st.lists(st.integers(0, len(right) - 1), min_size=1, max_size=20)):
        flipped[place] = draw(st.integers(0, 255))
    cut = right[: draw(st.integers(0, len(right)))]
    others = (_other_database(), _other_database(mark=True))
    return draw(st.sampled_from((bytes(flipped), cut, right + b"x", b"", *others)) | bytes_of_any_kind())


def _other_database(*, mark: bool = False) -> bytes:
    """A database of another program; with `mark` it says that it is a book, though it holds nothing."""
    with closing(sqlite3.connect(":memory:")) as other:
        other.execute("CREATE TABLE recipes (name TEXT)")
        if mark:
            other.execute(f"PRAGMA application_id = {int.from_bytes(b'coac', 'big')}")
        return other.serialize()

"""Whatever a coach gets wrong: exit code 2, one line for each mistake, no traceback, nothing changed."""

import shutil
import sqlite3
from contextlib import closing
from pathlib import Path

import pytest
from sqlalchemy.orm import SessionTransaction

from coachbook.club import connection
from coachbook.workflows import members
from tests.cli.conftest import SYLLABUS, Club
from tests.cli.drive import Ran, done, everything_in, run

TERM = ("term", "plan", "--group", "Owls", "--weekday", "thu", "--minutes", "60")
DATES = ("--from", "2026-09-10", "--until", "2026-12-10")
MAKE = ("sheet", "make", "queen-box")

FILES = {
    "no_item.csv": "student,answer\nAna,9\n",
    "misspelt.csv": "student,item,answer\nAnna,1,9\n",
    "no_such_item.csv": "student,item,answer\nAna,7,9\n",
    "item_in_words.csv": "student,item,answer\nAna,one,9\n",
    "not_given.csv": "student,item,answer\nDee,1,9\n",
    "no_such_sheet.csv": "student,item,answer,sheet\nAna,1,9,XX-22222\n",
    "twice.csv": "student,item,answer\nAna,1,9\nana,1,8\n",
    "three_mistakes.csv": "student,item,answer\nAna,1,9\nBob,1,9\nBo,0,9\nBo,1,9\nŁucja,x,9\n",
    "only_header.csv": "student,item,answer\n",
    "empty.csv": "",
    "quote.csv": 'student,item,answer\nAna,1,"9\n',
    "evenings.csv": "date,student,present\n10.9.2026,Ana,yes\n2026-09-10,Bo,maybe\n2026-09-10,Cy,no\n",
    "told_twice.csv": "date,student,present\n2026-09-10,Ana,yes\n2026-09-10,ana,no\n",
    "newcomers.csv": "name,group\nEve,Owls\nAna,Owls\n,Owls\n",
    "birthdays.csv": "name,birthday\nEve,2015-01-01\n",
    "broken/level-1.toml": 'level = 1\ntitle = "Mate\n',
    "not_a_book": "Dear diary, this is no database.\n" * 40,
}


@pytest.fixture(scope="session")
def faulty_files(tmp_path_factory: pytest.TempPathFactory, first_club: Club) -> Path:
    """All sorts of files that are not what they should be, made once."""
    folder = tmp_path_factory.mktemp("faulty")
    for name, content in FILES.items():
        path = folder / name
        path.parent.mkdir(exist_ok=True)
        path.write_text(content, encoding="utf-8")
    (folder / "latin.csv").write_bytes("student,item,answer\nZoë,1,9\n".encode("latin-1"))
    with closing(sqlite3.connect(folder / "other_program.db")) as other, other:
        other.execute("CREATE TABLE recipes (name TEXT)")
    with closing(sqlite3.connect(folder / "marked.db")) as marked, marked:
        marked.execute(f"PRAGMA application_id = {connection.APPLICATION_ID}")
    whole = first_club.book.read_bytes()
    (folder / "no_text.book").write_bytes(whole.replace("Łucja".encode(), b"\xff\xffucja"))
    (folder / "no_table.book").write_bytes(whole.replace(b'TABLE "student"', b'TABLE "stude\xfft"'))
    (folder / "lost_table.book").write_bytes(whole.replace(b"log_entry", b"log_entrx"))
    shutil.copy(first_club.book, folder / "newer.book")
    with closing(sqlite3.connect(folder / "newer.book")) as newer, newer:
        newer.execute("UPDATE alembic_version SET version_num = '9999'")
    done("club", "new", "Nobody yet", "--book", str(folder / "empty.book"))
    done("club", "new", "One empty group", "--book", str(folder / "lonely.book"))
    done("group", "add", "Owls", "--book", str(folder / "lonely.book"))
    return folder


@pytest.fixture
def desk(club: Club, faulty_files: Path) -> Club:
    """The club's folder with all the faulty files in it."""
    shutil.copytree(faulty_files, club.folder, dirs_exist_ok=True)
    return club


def everything_but_backups(folder: Path) -> dict[str, bytes | None]:
    """The backup of the day is made before a mistake in what is to be logged can be seen."""
    return {name: held for name, held in everything_in(folder).items() if ".backups" not in name}


def refused(folder: Path, *arguments: str, typed: str = "") -> Ran:
    before = everything_but_backups(folder)
    ran = run(*arguments, typed=typed)
    assert everything_but_backups(folder) == before
    assert ran.code == 2
    assert all(line.startswith("coachbook: ") for line in ran.problems)
    return ran


CASES: dict[str, tuple[tuple[str, ...], str]] = {
    # the book
    "missing book": (("club", "show", "--book", "none.book"), "There is no book none.book."),
    "missing folder": (("club", "show", "--book", "none/club.book"), "There is no folder none."),
    "not a database": (("student", "list", "--book", "not_a_book"), "not_a_book is not a coachbook book."),
    "another program's": (("student", "list", "--book", "other_program.db"), "is not a coachbook book."),
    "newer book": (("review", "--book", "newer.book"), "newer.book was written by a newer coachbook."),
    "folder as book": (("log", "undo", "--book", "broken"), "broken is not a file, so it is no book."),
    "book under a file": (("club", "new", "X", "--book", "empty.csv/club.book"), "cannot be made"),
    "book with an endless name": (("club", "show", "--book", "x" * 300), "(File name too long)"),
    "book without tables": (("club", "show", "--book", "marked.db"), "marked.db is not a coachbook book."),
    "book whose text is damaged": (("student", "list", "--book", "no_text.book"), "no_text.book is damaged."),
    "backup of it": (("backup", "--to", "b", "--book", "no_text.book"), "no_text.book is damaged."),
    "book whose tables are damaged": (("review", "--book", "no_table.book"), "no_table.book is damaged."),
    "book that lost a table": (("log", "list", "--book", "lost_table.book"), "lost_table.book is damaged."),
    "second book": (("club", "new", "X"), "There is already a file"),
    # names
    "empty club": (("club", "new", "", "--book", "new/club.book"), "A club needs a name"),
    "empty student": (("student", "add", " "), "A student needs a name"),
    "two-line student": (("student", "add", "Eve\nFay"), "U+000A"),
    "endless student": (("student", "add", "x" * 61), "has 61 characters. Use at most 60."),
    "double student": (("student", "add", "aNA"), "There is already a student 'Ana'."),
    "student of no group": (("student", "add", "Eve", "--group", "Owl"), "Did you mean 'Owls'?"),
    "empty group": (("group", "add", "?!"), "A group needs a name"),
    "double group": (("group", "add", "owls"), "There is already a group 'Owls'."),
    "unknown group": (("student", "list", "--group", "Bears"), "There is no group 'Bears'."),
    "two-line group": (("student", "list", "--group", "Be\nars"), "There is no group 'Be ars'."),
    "put a stranger": (("group", "put", "Owls", "Dee", "Annie"), "There is no student 'Annie'."),
    "take a stranger": (("group", "take", "Owls", "Ann"), "Did you mean 'Ana'?"),
    "import a file that is not there": (("student", "import", "none.csv"), "none.csv cannot be read"),
    "import birthdays": (("student", "import", "birthdays.csv"), "does not use a column 'birthday'"),
    # the syllabus
    "unknown unit": ((*MAKE[:-1], "queen-bix", "--group", "Owls"), "There is no unit 'queen-bix'."),
    "unknown unit shown": (("syllabus", "show", "knights"), "Choose one of: two-majors, queen-box."),
    "broken TOML": (("syllabus", "check", "broken"), "level-1.toml: line 2: is not valid TOML"),
    "broken TOML in use": ((*MAKE, "--group", "Owls", "--syllabus", "broken"), "The syllabus has a mistake"),
    "syllabus with an endless name": (("syllabus", "list", "--syllabus", "x" * 300), "cannot be read (File"),
    "no syllabus": (("syllabus", "list", "--syllabus", "none"), "there is no level file"),
    # the term
    "ends before it starts": ((*TERM, "--from", "2026-12-10", "--until", "2026-09-10"), "Swap the two"),
    "no date": ((*TERM, "--from", "soon", "--until", "2026-12-10"), "'soon' is not a date."),
    "no such day": ((*TERM, "--from", "2026-02-30", "--until", "2026-12-10"), "'2026-02-30' is not a date."),
    "too long a term": ((*TERM, "--from", "2026-09-10", "--until", "2036-12-10"), "is more than a year"),
    "skip a Friday": ((*TERM, *DATES, "--skip", "2026-09-11"), "2026-09-11 cannot be skipped"),
    "zero minutes": ((*TERM[:-1], "0", *DATES), "An evening of 0 minutes is too short"),
    "minutes in words": ((*TERM[:-1], "sixty", *DATES), "'sixty' is not a whole number."),
    "no weekday": ((*TERM[:-4], "--weekday", "xday", *TERM[-2:], *DATES), "'xday' is not a weekday."),
    "two weekdays": ((*TERM[:-4], "--weekday", "t", *TERM[-2:], *DATES), "Tuesday or Thursday"),
    "several groups": (("term", "plan", *TERM[4:], *DATES), "Say which with --group, or take --all: Foxes,"),
    "whose plan": (("term", "show"), "Say which with --group, or take --all: Foxes, Owls."),
    "whose group": (("group", "show"), "Say which after 'group show': Foxes, Owls."),
    "no groups": ((*TERM[:2], *TERM[4:], *DATES, "--book", "empty.book"), "The club has no group yet."),
    "plan over the book": ((*TERM, *DATES, "--to", "club.book"), "nothing is written over it"),
    "plan over a folder": ((*TERM, *DATES, "--to", ""), ". cannot be written: Is a directory."),
    "answers over the book": (("log", "export", "--to", "club.book"), "nothing is written over it"),
    "plan under a file": ((*TERM, *DATES, "--to", "empty.csv/wall.pdf"), "cannot be written"),
    "no plan": (("term", "show", "--group", "Owls"), "The group Owls has no term plan."),
    # sheets
    "negative items": ((*MAKE, "--group", "Owls", "--items", "-1"), "cannot have -1 exercises"),
    "no items": ((*MAKE, "--group", "Owls", "--items", "0"), "Ask for 1 to 24."),
    "seed in words": ((*MAKE, "--group", "Owls", "--seed", "lucky"), "'lucky' is not a whole number."),
    "group and student": ((*MAKE, "--group", "Owls", "--student", "Ana"), "not both"),
    "sheet for a stranger": ((*MAKE, "--student", "Anna"), "Did you mean 'Ana'?"),
    "sheet for nobody": ((*MAKE, "--book", "lonely.book"), "There is no student"),
    "paper under a file": ((*MAKE, "--group", "Owls", "--to", "empty.csv"), "empty.csv cannot be made"),
    "unknown paper": ((*MAKE, "--group", "Owls", "--paper", "A5"), "'A5' is not one of"),
    "sheet made some day": ((*MAKE, "--group", "Owls", "--date", "someday"), "'someday' is not a date."),
    "unknown sheet": (("sheet", "print", "QB-00000"), "There is no sheet 'QB-00000'."),
    "sheet in no letters": (("sheet", "print", "\udcff"), "There is no sheet ' '."),
    "forms for one": ((*MAKE, "--student", "Ana", "--forms"), "two students or more"),
    "forms for each": ((*MAKE, "--group", "Owls", "--forms", "--each"), "not both"),
    "review together": ((*MAKE, "--group", "Owls", "--review", "2"), "Give --each, too."),
    "review in words": ((*MAKE, "--student", "Ana", "--review", "some"), "'some' is not a whole number."),
    "twelve boards": (
        (*MAKE, "--group", "Owls", "--boards", "12"),
        "There is no page of 12 boards. Choose one of 1, 2, 4, 6, 9.",
    ),
    "five boards": ((*MAKE, "--group", "Owls", "--boards", "5"), "Choose one of 1, 2, 4, 6, 9."),
    "four letters": ((*MAKE, "--group", "Owls", "--letters", "KDTL"), "Give five different letters"),
    "cards of no unit": (("card", "make", "queen-bix"), "There is no unit 'queen-bix'."),
    "no play-outs": (("card", "make", "two-majors"), "has no position to play out"),
    "cards under a file": (("card", "make", "queen-box", "--to", "empty.csv"), "cannot be made"),
    "poster of no method": (("poster", "make", "king-box"), "There is no method 'king-box'."),
    "sheets of a stranger": (("sheet", "list", "--student", "Zoë"), "There is no student 'Zoë'."),
    # the log
    "missing column": (("log", "answers", "--table", "no_item.csv"), "line 1: there is no column 'item'"),
    "misspelt name": (("log", "answers", "--table", "misspelt.csv"), "line 2: There is no student 'Anna'."),
    "item out of range": (("log", "answers", "--table", "no_such_item.csv"), "Its items are 1 to 6."),
    "item in words": (("log", "answers", "--table", "item_in_words.csv"), "'one' is not an item number."),
    "sheet not given": (("log", "answers", "--table", "not_given.csv"), "Dee was given no sheet by"),
    "sheet of others": (("log", "answers", "SHEET", "--table", "not_given.csv"), "was not given to Dee."),
    "unknown sheet in a table": (("log", "answers", "--table", "no_such_sheet.csv"), "no sheet 'XX-22222'"),
    "answer told twice": (("log", "answers", "--table", "twice.csv"), "line 3: Item 1 of Ana on sheet"),
    "no answers": (("log", "answers", "--table", "only_header.csv"), "There is nothing to log."),
    "empty file": (("log", "answers", "--table", "empty.csv"), "the file is empty"),
    "open quote": (("log", "answers", "--table", "quote.csv"), "cannot be read as CSV"),
    "not UTF-8": (("log", "answers", "--table", "latin.csv"), "is not UTF-8 text"),
    "folder as table": (("log", "answers", "--table", "broken"), "broken cannot be read"),
    "unknown sheet to type": (("log", "answers", "QB-00000"), "There is no sheet 'QB-00000'."),
    "no sheet to type": (("log", "answers", "--book", "empty.book"), "No sheet was made by"),
    "attendance told twice": (("log", "attendance", "--table", "told_twice.csv"), "This is given twice: Ana"),
    "stranger present": (("log", "attendance", "--group", "Owls", "Ana", "Bob"), "no student 'Bob'."),
    "whose attendance": (("log", "attendance", "Ana"), "Say which with --group"),
    "empty class": (("log", "attendance", "--book", "lonely.book"), "The group Owls has no student yet."),
    "nothing to undo": (("log", "undo"), "There is nothing to take back."),
    "no entry of that number": (("log", "undo", "9" * 30), "in the log."),
    "list of nothing": (("log", "list", "--last", "0"), "0 entries cannot be listed. Ask for 1 or more."),
    "list of less": (("log", "list", "--last", "-1"), "-1 entries cannot be listed."),
    "a book for a game": (("log", "playout", "Ana", "PLAY-QUEEN-BOX-1", "e4 " * 7000), "Give the moves"),
    # a sheet
    "items and minutes": ((*MAKE, "--items", "4", "--minutes", "10"), "Both --items and --minutes"),
    "no minutes": ((*MAKE, "--group", "Owls", "--minutes", "0"), "A sheet cannot fill 0 minutes."),
    # review
    "review on no day": (("review", "--date", "10.9.2026"), "does not say which number is the month"),
    "review of no group": (("review", "--group", "Foxe"), "Did you mean 'Foxes'?"),
    # the command line itself
    "unknown command": (("sheet", "burn"), "No such command 'burn'. See 'coachbook sheet --help'."),
    "unknown option": (("review", "--loud"), "No such option: --loud"),
    "missing option": (("sheet", "make", "--group", "Owls"), "Missing argument 'UNIT'"),
    "missing argument": (("student", "add"), "Missing argument 'NAME'"),
    "one argument too many": (("club", "show", "me"), "unexpected extra argument"),
}  # fmt: skip


@pytest.mark.parametrize(("arguments", "told"), CASES.values(), ids=CASES)
def test_a_mistake_is_one_line(desk: Club, arguments: tuple[str, ...], told: str) -> None:
    ran = refused(desk.folder, *(desk.sheet if word == "SHEET" else word for word in arguments))
    assert len(ran.problems) == 1, ran.err
    assert told in ran.err
    assert ran.out == ""


@pytest.mark.parametrize("sign", ["x", "\x1b", "\udcff", "字"])
def test_of_an_endless_name_the_end_of_the_message_can_still_be_read(club: Club, sign: str) -> None:
    ran = refused(club.folder, "student", "show", sign * 10_000)
    assert len(ran.err) < 1000
    assert ran.err.startswith("coachbook: There is no student '")
    assert ran.err.endswith("'. Check the spelling.\n")


@pytest.mark.parametrize(
    ("arguments", "places"),
    [
        (("log", "answers", "--table", "three_mistakes.csv"), ["line 3", "line 4", "line 6"]),
        (("log", "attendance", "--table", "evenings.csv"), ["line 2", "line 3", "line 4"]),
        (("student", "import", "newcomers.csv"), ["line 3", "line 4"]),
    ],
)
def test_each_mistake_in_a_table_has_its_line(
    desk: Club, arguments: tuple[str, ...], places: list[str]
) -> None:
    ran = refused(desk.folder, *arguments)
    assert [line.split(": ")[2] for line in ran.problems] == places
    assert {line.split(": ")[1] for line in ran.problems} == {arguments[-1]}
    assert ran.out == ""


def test_each_mistake_in_a_syllabus_has_its_file_and_key(club: Club) -> None:
    own = club.folder / "own"
    shutil.copytree(SYLLABUS, own)
    level = own / "level-1.toml"
    text = level.read_text(encoding="utf-8")
    level.write_text(
        text.replace("minutes = 60", "minutes = 1")
        .replace('"KRRK"', '"KRR"')
        .replace("every_mate", "every_mat"),
        encoding="utf-8",
    )
    ran = refused(club.folder, "syllabus", "check", "own")
    found = [line.split(": ")[1:3] for line in ran.problems]
    assert ["level-1.toml", "unit[1].minutes"] in found
    assert ["level-1.toml", "unit[1].endings[1]"] in found
    assert ["level-1.toml", "unit[1].kind[1].kind"] in found
    shutil.copytree(SYLLABUS, own, dirs_exist_ok=True)
    assert done("syllabus", "check", "own").endswith("are true by the tables. Other words are not checked.\n")


@pytest.mark.parametrize(
    "arguments",
    [
        (*MAKE, "--group", "Owls", "--to", "paper"),
        (*TERM, *DATES, "--to", "wall.pdf"),
        ("term", "show", "--group", "Foxes", "--to", "wall.pdf"),
        ("sheet", "print", "SHEET", "--to", "."),
    ],
)
def test_a_full_disk_leaves_no_half_of_a_file(
    club: Club, arguments: tuple[str, ...], monkeypatch: pytest.MonkeyPatch
) -> None:
    done(*(word.replace("Owls", "Foxes") for word in TERM), *DATES)
    (club.folder / "paper").mkdir()

    def half(path: Path, content: bytes) -> int:
        with path.open("wb") as file:
            file.write(content[: len(content) // 2])
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(Path, "write_bytes", half)
    ran = refused(club.folder, *(club.sheet if word == "SHEET" else word for word in arguments))
    assert len(ran.problems) == 1
    assert "No space left on device" in ran.err


@pytest.mark.parametrize(
    "arguments",
    [(*MAKE, "--group", "Owls", "--items", "24", "--to", "paper"), ("student", "import", "many.csv")],
)
def test_a_book_that_cannot_grow_stays_as_it_was(
    club: Club, arguments: tuple[str, ...], monkeypatch: pytest.MonkeyPatch
) -> None:
    names = "".join(f"Student {number} {'x' * 40}\n" for number in range(2000))
    (club.folder / "many.csv").write_text("name\n" + names, encoding="utf-8")
    usual = connection.connect

    def on_a_full_disk(path: Path) -> sqlite3.Connection:
        opened = usual(path)
        opened.execute("PRAGMA max_page_count = 1")  # SQLite takes the present size for the least
        return opened

    monkeypatch.setattr(connection, "connect", on_a_full_disk)
    ran = refused(club.folder, *arguments)
    assert len(ran.problems) == 1
    assert "the disk is full" in ran.err


def test_paper_whose_sheet_was_not_kept_is_taken_away(club: Club, monkeypatch: pytest.MonkeyPatch) -> None:
    def fails(_transaction: SessionTransaction, _to_root: bool = False) -> None:
        error = sqlite3.OperationalError("database or disk is full")
        error.sqlite_errorcode = sqlite3.SQLITE_FULL
        raise error

    monkeypatch.setattr(SessionTransaction, "commit", fails)
    ran = refused(club.folder, *MAKE, "--group", "Owls")
    assert "the disk is full" in ran.err


def test_a_bug_keeps_its_traceback(club: Club, monkeypatch: pytest.MonkeyPatch) -> None:
    def buggy(*_: object) -> None:
        raise ZeroDivisionError

    monkeypatch.setattr(members, "students_of", buggy)
    with pytest.raises(ZeroDivisionError):
        run("student", "list", "--book", str(club.book))

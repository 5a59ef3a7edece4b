"""An erased student leaves no trace in any file that coachbook keeps, and everybody else stays."""

import shutil
import stat
import sys
import unicodedata
from collections.abc import Callable
from contextlib import closing
from datetime import date, datetime
from pathlib import Path

import pytest
from hypothesis import HealthCheck, assume, given, settings
from hypothesis import strategies as st

from coachbook.club.backup import back_up, back_up_to, backups_folder, own_backups
from coachbook.club.book import Book, open_book, set_settings
from coachbook.club.connection import connect
from coachbook.club.erase import count_facts, erase_student, unread_files
from coachbook.club.free_text import _NO_FREE_TEXT, ERASED, free_text, mentions_in
from coachbook.club.log import last_entries, log_observation
from coachbook.club.mentions import whole_names
from coachbook.club.names import clean_name
from coachbook.club.results import answers, observations
from coachbook.club.rows import Row
from coachbook.club.sheets import saved_sheet
from coachbook.club.soundness import find_fault_of_backup
from coachbook.club.stored import worksheet_text
from coachbook.club.students import list_groups, list_students
from coachbook.errors import CoachbookError
from coachbook.model.facts import Observation
from coachbook.model.settings import ClubSettings
from coachbook.model.worksheet import Worksheet
from tests.club.copies import make_as_of_first_version
from tests.club.traces import (
    MORNING,
    NAME,
    NOTE,
    erase_everywhere,
    everything_of_others,
    files_with,
    fill,
)

Dump = Callable[[Path], list[str]]


@pytest.fixture
def full_book(book: Book, make_sheet: Callable[..., Worksheet], now: datetime) -> Book:
    """All that can be kept of a student is kept of Wilhelmina, and of Tom."""
    fill(book, NAME, make_sheet(code="QB-1", keys=("k1", "k2")), now)
    return book


def test_an_erased_student_leaves_no_byte_in_any_file_of_the_folder(full_book: Book) -> None:
    for hour in (9, 10):
        back_up(full_book.path, MORNING.replace(hour=hour))
    shutil.copy(own_backups(full_book.path)[0], full_book.path.with_name("club.book.before-0001.bak"))
    (backups_folder(full_book.path) / ".half.book.77.part").write_text(f"left by a killed program: {NAME}")
    full_book.path.with_name(".club.book.77.part").write_text(f"left by a killed program: {NAME}")
    assert len(files_with(NAME, full_book.path.parent)) == 6
    done = erase_everywhere(full_book.path, "wilhelmina ")
    assert (done.student, done.backups, done.damaged) == (NAME, 3, ())
    assert files_with(NAME, full_book.path.parent) == []
    assert [find_fault_of_backup(backup) for backup in own_backups(full_book.path)] == [None] * 3


def test_everybody_else_stays_as_they_were(full_book: Book) -> None:
    before = everything_of_others(full_book)
    erase_everywhere(full_book.path, NAME)
    after = everything_of_others(full_book)
    assert after[0] == before[0]
    assert after[2:] == before[2:]
    with full_book.reading() as r:
        assert [answer.written for answer in answers(r)] == ["ask (erased)"]
        assert [seen.note for seen in observations(r)] == [
            NOTE.replace(NAME, "(erased)").replace("WILHELMINA", "(erased)")
        ]
        assert saved_sheet(r, "QB-1").students == ("Tom",)
        assert list_groups(r)[0].size == 1


def test_log_entries_that_held_nothing_else_go_and_shared_ones_stay(full_book: Book) -> None:
    with full_book.reading() as r:
        assert len(last_entries(r, 99)) == 7
    done = erase_everywhere(full_book.path, NAME)
    assert (done.facts, done.reworded, done.left) == (6, 2, ())
    with full_book.reading() as r:
        assert [entry.id for entry in last_entries(r, 99)] == [7, 6, 3, 1]


def test_backups_of_every_version_are_erased_too(full_book: Book) -> None:
    made = back_up(full_book.path, MORNING)
    make_as_of_first_version(made)
    assert files_with(NAME, made.parent)
    erase_everywhere(full_book.path, NAME)
    assert files_with(NAME, full_book.path.parent) == []
    with open_book(made).reading() as r:
        assert [student.name for student in list_students(r)] == ["Tom"]


def test_text_in_a_table_that_is_still_to_come_is_looked_through(full_book: Book) -> None:
    with closing(connect(full_book.path)) as newer:
        newer.execute("CREATE TABLE letter (id INTEGER PRIMARY KEY, words TEXT, more JSON)")
        newer.execute("INSERT INTO letter VALUES (1, ?, ?)", (f"Dear {NAME}", f'["{NAME}"]'))
        newer.execute(
            "CREATE TABLE fee (student_id INTEGER REFERENCES student (id) ON DELETE CASCADE, paid TEXT)"
        )
        newer.execute("INSERT INTO fee VALUES (1, 'yes')")
    assert erase_everywhere(full_book.path, NAME).facts == 7
    with closing(connect(full_book.path)) as newer:
        assert newer.execute("SELECT words, more FROM letter").fetchone() == ("Dear (erased)", '["(erased)"]')
        assert newer.execute("SELECT count(*) FROM fee").fetchone() == (0,)


def test_each_column_of_text_is_known_to_be_free_text_or_not(book: Book) -> None:
    """A new column must be told of in `free_text`: a note of it may hold a child's name."""
    with closing(connect(book.path)) as connection:
        free = free_text(connection)
    assert sorted(free) == [
        ("answer", "written"),
        ("club", "folder"),
        ("club", "name"),
        ("observation", "note"),
        ("teaching_group", "name"),
    ]
    assert set(_NO_FREE_TEXT) - {"alembic_version"} <= set(Row.metadata.tables)


def test_what_an_older_version_left_in_the_free_pages_goes_too(full_book: Book) -> None:
    with closing(connect(full_book.path)) as careless:
        careless.execute("PRAGMA secure_delete = OFF")
        careless.execute("CREATE TABLE scrap (words TEXT)")
        careless.executemany("INSERT INTO scrap VALUES (?)", [(f"{NAME} {n}" * 20,) for n in range(500)])
        careless.execute("DROP TABLE scrap")
    erase_everywhere(full_book.path, NAME)
    assert files_with(NAME, full_book.path.parent) == []


def test_what_is_deleted_is_overwritten_even_before_the_file_is_rewritten(full_book: Book) -> None:
    with closing(connect(full_book.path)) as connection:
        assert connection.execute("PRAGMA secure_delete").fetchone() == (1,)
        connection.execute("UPDATE observation SET note = ''")
        connection.execute("UPDATE answer SET written = ''")
        connection.execute("DELETE FROM student WHERE id = 1")
        connection.execute("PRAGMA wal_checkpoint(TRUNCATE)")
    assert files_with(NAME, full_book.path.parent) == []


def test_what_stands_in_the_wal_file_goes_too(full_book: Book) -> None:
    with closing(connect(full_book.path)) as other:  # keeps the -wal file from going by itself
        other.execute("SELECT * FROM student").fetchall()
        with full_book.writing() as w:
            log_observation(
                w, Observation("Tom", "queen-box", date(2026, 1, 1), f"like {NAME}"), MORNING.astimezone()
            )
        assert "club.book-wal" in files_with(NAME, full_book.path.parent)
        erase_everywhere(full_book.path, NAME)
        assert files_with(NAME, full_book.path.parent) == []


def test_a_reader_that_keeps_the_old_pages_is_told_and_the_rest_goes_when_the_book_is_opened(
    full_book: Book, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("coachbook.club.connection.WAIT_SECONDS", 0.01)
    with closing(connect(full_book.path)) as reader:
        reader.execute("BEGIN")
        reader.execute("SELECT * FROM student").fetchall()
        with pytest.raises(CoachbookError, match="in use by another program"):
            erase_everywhere(full_book.path, NAME)
        assert files_with(NAME, full_book.path.parent)
    with open_book(full_book.path).reading() as r:
        assert [student.name for student in list_students(r)] == ["Tom"]
    assert files_with(NAME, full_book.path.parent) == []


def test_a_book_that_is_being_written_is_told_and_nobody_is_erased(
    full_book: Book, dump: Dump, monkeypatch: pytest.MonkeyPatch
) -> None:
    back_up(full_book.path, MORNING)
    before = dump(full_book.path)
    monkeypatch.setattr("coachbook.club.connection.WAIT_SECONDS", 0.01)
    with closing(connect(full_book.path)) as writer:
        writer.execute("BEGIN IMMEDIATE")
        with pytest.raises(CoachbookError, match="in use by another program"):
            erase_everywhere(full_book.path, NAME)
    assert dump(full_book.path) == before


def test_a_backup_in_use_is_told_and_nobody_is_erased(
    full_book: Book, dump: Dump, monkeypatch: pytest.MonkeyPatch
) -> None:
    made = back_up(full_book.path, MORNING)
    before = dump(full_book.path)
    monkeypatch.setattr("coachbook.club.connection.WAIT_SECONDS", 0.01)
    with closing(connect(made)) as writer:
        writer.execute("BEGIN EXCLUSIVE")
        writer.execute("UPDATE student SET name = 'Ada' WHERE id = 1")
        with pytest.raises(CoachbookError, match=rf"backup .*{made.name} is in use by another program"):
            erase_everywhere(full_book.path, NAME)
    assert dump(full_book.path) == before
    erase_everywhere(full_book.path, NAME)
    assert files_with(NAME, full_book.path.parent) == []


@pytest.mark.parametrize(
    "content", [b"", f"no database, but {NAME}".encode() * 99, None], ids=["empty", "text", "cut"]
)
def test_a_backup_that_cannot_be_read_is_told_and_left_to_the_coach(
    full_book: Book, content: bytes | None
) -> None:
    made = back_up(full_book.path, MORNING)
    made.write_bytes(made.read_bytes()[:-5000] if content is None else content)
    left = made.read_bytes()
    assert unread_files(full_book.path) == (made,)
    done = erase_everywhere(full_book.path, NAME)
    assert (done.backups, done.damaged) == (0, (made,))
    assert made.read_bytes() == left
    assert set(files_with(NAME, full_book.path.parent)) <= {made.name}


def test_what_a_coach_has_put_among_the_backups_is_told_and_left(full_book: Book) -> None:
    made = back_up(full_book.path, MORNING)
    secret, renamed = made.with_name("club-secret.book"), made.with_name("christmas.book")
    secret.write_bytes(bytes(range(256)) * 20)
    shutil.copy(made, renamed)
    done = erase_everywhere(full_book.path, NAME)
    assert (done.backups, done.damaged) == (1, (renamed, secret))
    assert secret.read_bytes() == bytes(range(256)) * 20
    assert files_with(NAME, full_book.path.parent) == [renamed.name]


def test_files_that_are_not_coachbooks_are_left_alone(
    full_book: Book, tmp_path_factory: pytest.TempPathFactory
) -> None:
    back_up(full_book.path, MORNING)
    own = [
        full_book.path.with_name("club.book.before-term.bak"),
        backups_folder(full_book.path) / "readme.txt",
    ]
    elsewhere = tmp_path_factory.mktemp("stick") / "copy.book"
    back_up_to(full_book.path, elsewhere)
    for path in own:
        path.write_text(NAME)
    erase_everywhere(full_book.path, NAME)
    assert [path.read_text() for path in own] == [NAME, NAME]
    assert files_with(NAME, elsewhere.parent) == [elsewhere.name]


def test_a_student_whom_only_a_backup_holds_can_be_erased(full_book: Book) -> None:
    back_up(full_book.path, MORNING)
    with closing(connect(full_book.path)) as connection:
        connection.execute("DELETE FROM student WHERE id = 1")
    assert count_facts(full_book.path, "wilhelmina") == (NAME, 0)
    erase_everywhere(full_book.path, NAME)
    assert files_with(NAME, full_book.path.parent) == []


def test_a_backup_of_a_backup_that_was_opened_as_a_book_is_erased_too(full_book: Book) -> None:
    back_up(back_up(full_book.path, MORNING), MORNING)
    assert erase_everywhere(full_book.path, NAME).backups == 2
    assert files_with(NAME, full_book.path.parent) == []


def test_how_much_there_is_of_a_student_is_counted_before(full_book: Book) -> None:
    assert count_facts(full_book.path, NAME.upper()) == (NAME, 6)


def test_an_unknown_student_is_told_with_the_nearest_name(full_book: Book, dump: Dump) -> None:
    before = dump(full_book.path)
    for attempt in (count_facts, erase_student, erase_everywhere):
        with pytest.raises(CoachbookError, match=r"no student 'Wilhelmine'\. Did you mean 'Wilhelmina'"):
            attempt(full_book.path, "Wilhelmine")
    assert dump(full_book.path) == before


@pytest.mark.skipif(sys.platform == "win32", reason="needs POSIX permissions")
def test_rewritten_backups_are_still_for_their_owner_only(full_book: Book) -> None:
    made = back_up(full_book.path, MORNING)
    made.chmod(0o644)
    erase_everywhere(full_book.path, NAME)
    assert stat.S_IMODE(made.stat().st_mode) == 0o600


LETTERS = st.characters(categories=["Lu", "Ll", "Lo", "Mn", "Mc"])
SCRIPTS = [
    "Łucja Żak",
    "Zoë",
    "Nguyễn Thị Ánh",
    "Σωκράτης",
    "Анна-Мария",
    "محمد",
    "שירה",
    "小明",
    "민아",
    "さくら",
    "राम",
    "มานี",
]


def is_a_name(text: str) -> bool:
    try:
        return bool(clean_name(text, "student"))
    except CoachbookError:
        return False


@settings(max_examples=12, suppress_health_check=[HealthCheck.function_scoped_fixture, HealthCheck.too_slow])
@given(name=st.text(LETTERS, min_size=4, max_size=20).filter(is_a_name) | st.sampled_from(SCRIPTS))
def test_names_of_every_script_leave_no_byte(
    template: Path, tmp_path: Path, name: str, make_sheet: Callable[..., Worksheet], now: datetime
) -> None:
    erase_from_copy(name, template, tmp_path, make_sheet(code="QB-1"), now)


@pytest.mark.full
@settings(max_examples=200, suppress_health_check=[HealthCheck.function_scoped_fixture, HealthCheck.too_slow])
@given(name=st.text(LETTERS, min_size=4, max_size=20).filter(is_a_name))
def test_two_hundred_names_leave_no_byte(
    template: Path, tmp_path: Path, name: str, make_sheet: Callable[..., Worksheet], now: datetime
) -> None:
    erase_from_copy(name, template, tmp_path, make_sheet(code="QB-1"), now)


def erase_from_copy(name: str, template: Path, tmp_path: Path, sheet: Worksheet, now: datetime) -> None:
    kept = clean_name(name, "student")
    # A word of the book or the sheet itself, such as "text" or "mate", is no trace of a child.
    assume(not files_with(kept, template.parent) and not whole_names(worksheet_text(sheet), kept))
    assume(kept.casefold() not in ERASED.casefold())  # nor a part of what is put in the name's place
    folder = tmp_path / str(len(list(tmp_path.iterdir())))
    folder.mkdir()
    shutil.copy(template, folder / "club.book")
    book = open_book(folder / "club.book")
    fill(book, unicodedata.normalize("NFD", name), sheet, now)
    back_up(book.path, MORNING)
    assert len(files_with(kept, folder)) == 2
    erase_everywhere(book.path, kept)
    assert files_with(kept, folder) == []


@pytest.fixture
def template(
    book: Book,
    tmp_path_factory: pytest.TempPathFactory,
    make_sheet: Callable[..., Worksheet],
    now: datetime,
) -> Path:
    """An empty book, with a full one beside it."""
    empty = tmp_path_factory.mktemp("template") / "club.book"
    shutil.copy(book.path, empty)
    fill(book, NAME, make_sheet(code="QB-1"), now)
    shutil.copy(book.path, empty.with_name("full.book"))
    return empty


def test_a_folder_for_papers_that_names_the_student_is_told_as_such(full_book: Book) -> None:
    with full_book.writing() as tx:
        set_settings(tx, ClubSettings(folder=f"/papers/{NAME}"))
    with closing(connect(full_book.path)) as file:
        found = mentions_in(file, NAME, ())
    assert ("club", "folder", f"/papers/{NAME}") in [(each.table, each.column, each.text) for each in found]

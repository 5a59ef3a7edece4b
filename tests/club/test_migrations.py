import shutil
import sqlite3
import stat
from collections.abc import Callable
from contextlib import closing
from pathlib import Path
from typing import Any

import pytest
from alembic.autogenerate import compare_metadata
from alembic.migration import MigrationContext
from alembic.script import ScriptDirectory
from sqlalchemy import Connection, create_engine, inspect

from coachbook.club import backup as backup_module
from coachbook.club import book as book_module
from coachbook.club import migrate as migrate_module
from coachbook.club.backup import backups_folder, own_backups
from coachbook.club.book import HEAD, Book, open_book
from coachbook.club.connection import connect, engine_of, read_revision
from coachbook.club.migrate import MIGRATIONS, migrate, upgrade
from coachbook.club.results import answers, attendance, play_outs
from coachbook.club.rows import Row
from coachbook.club.sheets import load_worksheet
from coachbook.club.students import list_students
from coachbook.errors import CoachbookError
from coachbook.files import unfinished as unfinished_module
from coachbook.model.settings import ClubSettings
from tests.club.copies import make_first_version, make_seventh_version

Dump = Callable[[Path], list[str]]

# Rebuilds the table that most others refer to, as any change of a column does in SQLite.
NEXT = f"{int(HEAD) + 1:04}"
NEXT_STEP = f"""
import sqlalchemy as sa
from alembic import op

revision = "{NEXT}"
down_revision = "{HEAD}"


def upgrade() -> None:
    op.create_table("keepsake", sa.Column("id", sa.Integer(), primary_key=True))
    with op.batch_alter_table("student", recreate="always") as student:
        student.add_column(sa.Column("left_on", sa.Date(), nullable=True))
"""


def test_all_steps_on_an_empty_book_make_the_current_schema(book: Book) -> None:
    with engine_of(book.path).connect() as connection:
        context = MigrationContext.configure(
            connection, opts={"compare_type": True, "compare_server_default": True}
        )
        assert compare_metadata(context, Row.metadata) == []


def test_the_steps_make_the_same_keys_checks_and_kinds_of_tables_too(book: Book) -> None:
    """What alembic does not compare in SQLite: primary keys, checks, cascades, row numbers."""
    meant = create_engine("sqlite://")
    with meant.connect() as connection:
        Row.metadata.create_all(connection)
        expected = _shape(connection)
    meant.dispose()
    with engine_of(book.path).connect() as connection:
        made = _shape(connection)
    assert made.pop("alembic_version")
    assert made == expected
    assert made["answer"]["without row numbers"] == 1
    numbered = {table for table, told in made.items() if told["never gives a number again"]}
    assert numbered == {"student", "teaching_group", "log_entry"}


def _shape(connection: Connection) -> dict[str, dict[str, Any]]:
    inspector = inspect(connection)
    kinds = {row.name: row.wr for row in connection.exec_driver_sql("PRAGMA table_list")}
    made = {row.name: row.sql for row in connection.exec_driver_sql("SELECT name, sql FROM sqlite_master")}
    return {
        table: {
            "primary key": inspector.get_pk_constraint(table),
            "foreign keys": sorted(map(str, inspector.get_foreign_keys(table))),
            "unique": sorted(map(str, inspector.get_unique_constraints(table))),
            "checks": sorted(map(str, inspector.get_check_constraints(table))),
            "indexes": sorted(map(str, inspector.get_indexes(table))),
            "without row numbers": kinds[table],
            "never gives a number again": "AUTOINCREMENT" in made[table],
        }
        for table in inspector.get_table_names()
    }


def test_steps_are_numbered_one_after_the_other_and_the_last_is_the_head() -> None:
    steps = list(ScriptDirectory(MIGRATIONS).walk_revisions())
    numbers = [f"{number:04}" for number in range(len(steps), 0, -1)]
    assert [step.revision for step in steps] == numbers
    assert [step.down_revision for step in steps] == [*numbers[1:], None]
    assert all(Path(step.path).name.startswith(f"r{step.revision}_") for step in steps)
    assert numbers[0] == HEAD


@pytest.fixture
def next_version(
    evening_book: Book, tmp_path_factory: pytest.TempPathFactory, monkeypatch: pytest.MonkeyPatch
) -> Path:
    """Makes coachbook the next one, with a step more than the book has seen; returns that step."""
    assert read_revision(evening_book.path) == HEAD
    steps = tmp_path_factory.mktemp("steps") / "migrations"
    shutil.copytree(MIGRATIONS, steps, ignore=shutil.ignore_patterns("__pycache__"))
    step = steps / "versions" / f"r{NEXT}_next.py"
    step.write_text(NEXT_STEP)
    monkeypatch.setattr(migrate_module, "MIGRATIONS", steps)
    monkeypatch.setattr(book_module, "HEAD", NEXT)
    return step


def _everything(book: Book) -> list[Any]:
    with book.reading() as r:
        return [list_students(r), answers(r), attendance(r), load_worksheet(r, "QB-1")]


@pytest.mark.usefixtures("next_version")
def test_an_older_book_is_upgraded_and_loses_nothing(evening_book: Book) -> None:
    before = _everything(evening_book)
    book = open_book(evening_book.path)
    assert read_revision(book.path) == NEXT
    assert _everything(book) == before
    with book.reading() as r:
        connection = r.session.connection()
        assert inspect(connection).has_table("keepsake")
        assert connection.exec_driver_sql("SELECT left_on FROM student").all() == [(None,)] * 3
        assert connection.exec_driver_sql("SELECT count(*) FROM membership").scalar() == 2
        assert connection.exec_driver_sql("PRAGMA foreign_keys").scalar() == 1


@pytest.mark.usefixtures("next_version")
def test_a_private_copy_of_the_older_book_is_put_aside(
    evening_book: Book, dump: Dump, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = evening_book.path
    before = dump(path)
    earlier = backups_folder(path) / f"before-{HEAD}.book"
    earlier.parent.mkdir()
    earlier.write_text("an earlier copy")
    open_book(path)
    copy = backups_folder(path) / f"before-{HEAD}-2.book"
    assert sorted(path.parent.rglob("*")) == [path, copy.parent, copy, earlier]
    assert earlier.read_text() == "an earlier copy"
    assert stat.S_IMODE(copy.parent.stat().st_mode) == 0o700
    assert stat.S_IMODE(copy.stat().st_mode) == 0o600
    assert dump(copy) == before
    monkeypatch.setattr(book_module, "HEAD", HEAD)
    assert open_book(copy).club_name == "Rook and Pawn Club"


@pytest.mark.usefixtures("next_version")
def test_a_book_that_another_program_just_upgraded_is_not_upgraded_again(evening_book: Book) -> None:
    upgrade(evening_book.path)
    upgrade(evening_book.path)
    assert len(own_backups(evening_book.path)) == 1


@pytest.mark.parametrize(
    ("last_line", "error"),
    [
        ("    raise ZeroDivisionError\n", ZeroDivisionError),
        ("    op.execute(\"DELETE FROM student WHERE name = 'Mina'\")\n", CoachbookError),
    ],
    ids=["a step that fails", "a step that leaves references to nothing"],
)
def test_an_upgrade_that_goes_wrong_changes_nothing(
    evening_book: Book, dump: Dump, next_version: Path, last_line: str, error: type[Exception]
) -> None:
    before = dump(evening_book.path)
    next_version.write_text(NEXT_STEP + last_line)
    with pytest.raises(error):
        open_book(evening_book.path)
    assert dump(evening_book.path) == before
    assert list(evening_book.path.parent.iterdir()) == [evening_book.path]


def test_a_book_of_the_first_version_gets_play_outs_and_keeps_everything(tmp_path: Path, dump: Dump) -> None:
    path = tmp_path / "old.book"
    make_first_version(path, "Mina")
    before = [line for line in dump(path) if line.startswith("INSERT") and "alembic" not in line]
    book = open_book(path)
    with book.reading() as page:
        assert [student.name for student in list_students(page)] == ["Mina"]
        assert play_outs(page) == []
    assert book.club_name == "Old Club"
    assert book.letters == ""
    after = [line for line in dump(path) if line.startswith("INSERT")]
    assert before[1] in after


def test_a_book_of_the_seventh_version_keeps_its_letters_and_has_the_usual_ways_beside(
    tmp_path: Path, dump: Dump
) -> None:
    path = tmp_path / "old.book"
    make_seventh_version(path, "KDTLS")
    assert open_book(path).settings == ClubSettings(letters="KDTLS")
    with closing(connect(path)) as connection:
        columns = connection.execute("SELECT name FROM pragma_index_info('ix_club_copy')").fetchall()
    assert [name for (name,) in columns] == ["name", "letters", "paper", "notation", "folder", "dates"]
    assert "INSERT INTO \"club\" VALUES(1,'Old Club','KDTLS',NULL,NULL,NULL,NULL);" in dump(path)


def test_migrating_a_current_book_changes_nothing(evening_book: Book, dump: Dump) -> None:
    before = dump(evening_book.path)
    with engine_of(evening_book.path).begin() as connection:
        migrate(connection)
    assert dump(evening_book.path) == before


def test_an_upgrade_that_cannot_put_a_copy_aside_changes_nothing(
    evening_book: Book, dump: Dump, next_version: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    assert next_version.exists()
    before = dump(evening_book.path)

    def no_room(path: Path) -> None:
        raise OSError(28, "No space left on device", str(path))

    monkeypatch.setattr(unfinished_module, "create_private", no_room)
    with pytest.raises(CoachbookError, match=rf"backup .*before-{HEAD}.* \(No space left on device\)"):
        open_book(evening_book.path)
    assert dump(evening_book.path) == before
    assert list(evening_book.path.parent.iterdir()) == [evening_book.path]
    with closing(connect(evening_book.path)) as connection:
        assert connection.execute("PRAGMA journal_mode").fetchone() == ("wal",)


@pytest.mark.usefixtures("next_version")
def test_a_copy_that_is_not_finished_is_not_left_behind(
    evening_book: Book, dump: Dump, monkeypatch: pytest.MonkeyPatch
) -> None:
    before = dump(evening_book.path)

    def no_room_for_copy(path: Path) -> sqlite3.Connection:
        if path.suffix == ".part":
            raise sqlite3.OperationalError("disk I/O error")
        return connect(path)

    monkeypatch.setattr(backup_module, "connect", no_room_for_copy)
    with pytest.raises(sqlite3.OperationalError, match="disk I/O error"):
        open_book(evening_book.path)
    assert list(evening_book.path.parent.iterdir()) == [evening_book.path]
    assert dump(evening_book.path) == before

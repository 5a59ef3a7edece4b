"""Creating and opening a book, and the transactions in which all reading and writing happens."""

import errno
import os
from collections.abc import Iterator, Sequence
from contextlib import closing, contextmanager, suppress
from dataclasses import dataclass, field
from pathlib import Path

from sqlalchemy import Engine, update
from sqlmodel import Session, col, select

from coachbook.club.aside import put_in_place
from coachbook.club.connection import (
    APPLICATION_ID,
    BRING_BACK,
    check_is_file,
    clean,
    connect,
    disk_error,
    engine_of,
    errors_in_words,
    for_writing,
    is_unclean,
    make_private,
    open_up_side_files,
    read_revision,
    revision_of,
    turn_to_write,
)
from coachbook.club.names import clean_name
from coachbook.club.rows import ClubRow
from coachbook.club.stored import stored_text
from coachbook.errors import CoachbookError
from coachbook.files.unfinished import sweep_beside, written_beside
from coachbook.model.print_options import Notation, PaperSize
from coachbook.model.settings import ClubSettings, DateStyle

HEAD = "0014"
"""The last step in `migrations`: stated here so that opening a book need not load alembic."""


@dataclass(frozen=True, slots=True)
class Reading:
    """An open transaction that sees the book as it was when it first read."""

    session: Session


@dataclass(frozen=True, slots=True)
class Writing(Reading):
    """An open transaction that alone may write; all of it is kept, or nothing."""


@dataclass(frozen=True, slots=True)
class Book:
    """An open book. Nothing needs closing: each transaction opens the file and closes it.

    `settings` are the club's own ways as they were when it was opened.
    """

    path: Path
    club_name: str
    settings: ClubSettings
    _engine: Engine = field(repr=False)

    @property
    def letters(self) -> str:
        """The club's own letters for king, queen, rook, bishop and knight ("KDTLS"), or ""."""
        return self.settings.letters

    @contextmanager
    def reading(self) -> Iterator[Reading]:
        """A transaction to read in. Raises CoachbookError if the file cannot be used."""
        with errors_in_words(self.path), Session(self._engine) as session:
            yield Reading(session)

    @contextmanager
    def writing(self) -> Iterator[Writing]:
        """A transaction to write in, kept when the block ends and undone when it raises.

        Waits for another writer to finish. Raises CoachbookError if the file cannot be used.
        """
        with (
            errors_in_words(self.path),
            turn_to_write(self.path),
            Session(for_writing(self._engine)) as session,
            session.begin(),
        ):
            yield Writing(session)

    def try_writing(self) -> None:
        """Writes what is there already once more. Raises CoachbookError, with the reason, if nothing can
        be written now."""
        with self.writing() as tx:
            tx.session.execute(update(ClubRow).values(name=col(ClubRow.name)))


def create_book(path: Path, club_name: str) -> Book:
    """A new, empty book that only its owner may read.

    Raises CoachbookError if there is a file already or the book cannot be made; then no
    file is left behind.
    """
    name = clean_name(club_name, "club")
    try:
        if path.exists():
            raise FileExistsError(errno.EEXIST, os.strerror(errno.EEXIST))
        sweep_beside(path.parent, path.name)
        with errors_in_words(path), written_beside(path) as unfinished:
            _write_empty_book(unfinished, name)
            put_in_place(unfinished, path)
    except OSError as error:
        raise disk_error(path, error) from error
    return open_book(path)


def open_book(path: Path) -> Book:
    """The book at `path`; an older one is first upgraded, and a copy of it put aside.

    Raises CoachbookError for a missing file, one that is no book or may not be used, and
    a book that a newer coachbook has written.
    """
    check_is_file(path)
    with errors_in_words(path):
        open_up_side_files(path)
        with closing(connect(path)) as connection:
            revision = revision_of(connection, path)
            check_version(revision, path)
            make_private(path)
            if revision != HEAD:
                bring_up_to_date(path)
            if is_unclean(connection):
                clean(connection, path)
            club = connection.execute(
                "SELECT name, paper, notation, letters, folder, dates FROM club"
            ).fetchone()
    club_name, *chosen = club or (None,)
    if not isinstance(club_name, str):
        raise CoachbookError(f"The book {path} is damaged: it has lost the club's name.", BRING_BACK)
    return Book(path, club_name, _settings_from(chosen, path), engine_of(path))


def check_version(revision: str, path: Path) -> None:
    """Raises CoachbookError if a newer coachbook has written the file, or no coachbook at all."""
    is_number = len(revision) == len(HEAD) and revision.isdecimal()
    if is_number and revision > HEAD:
        raise CoachbookError(
            f"The book {path} was written by a newer coachbook.", "Update coachbook to open it."
        )
    if not is_number or int(revision) < 1:
        raise CoachbookError(
            f"The book {path} is damaged: no coachbook has written a version '{revision}'.", BRING_BACK
        )


def bring_up_to_date(path: Path, *, keep_copy: bool = True) -> None:
    """Upgrades an older book, and first puts a copy of it aside. Raises CoachbookError if a copy cannot be
    put there or a reference in the book leads nowhere, and sqlite3.Error for other faults of the file."""
    if read_revision(path) == HEAD:
        return
    # Imported here because alembic adds a third to the time that every command takes to
    # start, and only a new or an older book needs it.
    from coachbook.club.migrate import upgrade

    try:
        upgrade(path, keep_copy)
    except OSError as error:
        raise disk_error(path, error) from error


def rename_club(tx: Writing, name: str) -> None:
    """Gives the club another name. Raises CoachbookError for one that cannot be."""
    club = tx.session.exec(select(ClubRow)).one()
    club.name = clean_name(name, "club")
    tx.session.add(club)


def set_settings(tx: Writing, settings: ClubSettings) -> None:
    """Keeps the club's own ways, in place of those that it had."""
    club = tx.session.exec(select(ClubRow)).one()
    club.paper, club.notation = settings.paper.value, settings.notation.value
    club.letters, club.folder = settings.letters or None, settings.folder or None
    club.dates = settings.dates.value
    tx.session.add(club)


def _settings_from(chosen: Sequence[object], path: Path) -> ClubSettings:
    """From the columns, in the order of `ClubSettings`; where nothing is chosen, its defaults."""
    usual = ClubSettings()
    try:
        paper, notation, letters, folder, dates = (
            value if value is None else stored_text(value) for value in chosen
        )
        return ClubSettings(
            PaperSize(paper or usual.paper),
            Notation(notation or usual.notation),
            letters or usual.letters,
            folder or usual.folder,
            DateStyle(dates or usual.dates),
        )
    except ValueError as error:
        raise CoachbookError(
            f"The book {path} is damaged: the club's settings cannot be read.", BRING_BACK
        ) from error


def _write_empty_book(path: Path, club_name: str) -> None:
    # Imported here for the same reason.
    from coachbook.club.migrate import migrate

    with Session(for_writing(engine_of(path))) as session, session.begin():
        migrate(session.connection())
        session.add(ClubRow(name=club_name))
        session.connection().exec_driver_sql(f"PRAGMA application_id = {APPLICATION_ID}")
    with closing(connect(path)) as connection:
        connection.execute("PRAGMA journal_mode = WAL")


class _Over(Exception):  # noqa: N818 - no error: it ends a rehearsal
    """Ends a rehearsal: the transaction that it leaves is rolled back."""


@contextmanager
def rehearsing(book: Book) -> Iterator[Writing]:
    """A transaction to write in of which nothing is kept: what comes out in it is exactly what would be
    kept, for nothing is worked out twice. Raises CoachbookError if the file cannot be used."""
    with suppress(_Over), book.writing() as tx:
        yield tx
        raise _Over

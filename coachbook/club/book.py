"""Creating and opening a book, and the transactions in which all reading and writing happens."""

import errno
import os
from collections.abc import Iterator
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
    engine_of,
    for_writing,
    is_unclean,
    make_private,
    open_up_side_files,
    read_revision,
    told_plainly,
    trouble_of_disk,
)
from coachbook.club.names import clean_name
from coachbook.club.rows import ClubRow
from coachbook.errors import CoachbookError
from coachbook.files.unfinished import sweep_beside, written_beside

HEAD = "0007"
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

    `letters` are the club's own letters for king, queen, rook, bishop and knight ("KDTLS"), or "".
    """

    path: Path
    club_name: str
    letters: str
    _engine: Engine = field(repr=False)

    @contextmanager
    def reading(self) -> Iterator[Reading]:
        """A transaction to read in. Raises CoachbookError if the file cannot be used."""
        with told_plainly(self.path), Session(self._engine) as session:
            yield Reading(session)

    @contextmanager
    def writing(self) -> Iterator[Writing]:
        """A transaction to write in, kept when the block ends and undone when it raises.

        Waits for another writer to finish. Raises CoachbookError if the file cannot be used.
        """
        with told_plainly(self.path), Session(for_writing(self._engine)) as session, session.begin():
            yield Writing(session)

    def try_writing(self) -> None:
        """Writes what is there already once more. Raises CoachbookError, with the reason, if nothing can
        be written now."""
        with self.writing() as page:
            page.session.execute(update(ClubRow).values(name=col(ClubRow.name)))


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
        with told_plainly(path), written_beside(path) as aside:
            _write_first_page(aside, name)
            put_in_place(aside, path)
    except OSError as error:
        raise trouble_of_disk(path, error) from error
    return open_book(path)


def open_book(path: Path) -> Book:
    """The book at `path`; an older one is first upgraded, and a copy of it put aside.

    Raises CoachbookError for a missing file, one that is no book or may not be used, and
    a book that a newer coachbook has written.
    """
    check_is_file(path)
    with told_plainly(path):
        open_up_side_files(path)
        check_version(read_revision(path), path)
        make_private(path)
        bring_up_to_date(path)
        with closing(connect(path)) as connection:
            if is_unclean(connection):
                clean(connection, path)
            club = connection.execute("SELECT name, letters FROM club").fetchone()
    club_name, letters = club or (None, None)
    if not isinstance(club_name, str) or not isinstance(letters, str | None):
        raise CoachbookError(f"The book {path} is damaged: it has lost the club's name.", BRING_BACK)
    return Book(path, club_name, letters or "", engine_of(path))


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
    """Upgrades an older book, and first puts a copy of it aside. Raises CoachbookError or sqlite3.Error."""
    if read_revision(path) == HEAD:
        return
    # Imported here because alembic adds a third to the time that every command takes to
    # start, and only a new or an older book needs it.
    from coachbook.club.migrate import upgrade

    try:
        upgrade(path, keep_copy)
    except OSError as error:
        raise trouble_of_disk(path, error) from error


def set_letters(book: Writing, letters: str) -> None:
    """Keeps the club's own letters for king, queen, rook, bishop and knight; "" for none."""
    club = book.session.exec(select(ClubRow)).one()
    club.letters = letters or None
    book.session.add(club)


def _write_first_page(path: Path, club_name: str) -> None:
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
    with suppress(_Over), book.writing() as page:
        yield page
        raise _Over

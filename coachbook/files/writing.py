"""Putting a file in its place: whole or not at all, for its owner alone, and never over a database."""

import errno
import os
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from pathlib import Path

from coachbook.errors import CoachbookError
from coachbook.files.unfinished import SIDE_FILES, unfinished_file

_DATABASE = b"SQLite format 3\0"  # how one begins: https://sqlite.org/fileformat.html


def put_in_place(path: Path, content: bytes) -> None:
    """Write beside the file, for its owner alone, then rename. Raises CoachbookError, leaving nothing
    half-written.

    Another file of that name is gone then; but never a database, which may well be the club's book.
    """
    with _errors_in_words(path):
        _check_may_go(path)
        with unfinished_file(path.parent) as part:
            part.write_bytes(content)
            part.replace(path)


def check_places(paths: Sequence[Path]) -> None:
    """Raises CoachbookError if any of several files cannot go to its place, before one of them does."""
    for number, path in enumerate(paths):
        if any(path.resolve() == other.resolve() for other in paths[:number]):
            raise CoachbookError(f"{path} is named for two files.", "Give each a name of its own.")
        with _errors_in_words(path):
            _check_may_go(path)
            if not path.absolute().parent.is_dir():
                raise FileNotFoundError(errno.ENOENT, os.strerror(errno.ENOENT))


@contextmanager
def _errors_in_words(path: Path) -> Iterator[None]:
    try:
        yield
    except OSError as error:
        reason = error.strerror or str(error)
        raise CoachbookError(f"{path} cannot be written: {reason}.", "Choose another place.") from error


def _check_may_go(path: Path) -> None:
    """Raises CoachbookError for a database, what SQLite keeps beside one, and what is no file, such as a
    device; OSError for a folder or a name that cannot be."""
    if path.is_dir():
        raise IsADirectoryError(errno.EISDIR, os.strerror(errno.EISDIR))
    if path.exists() and not path.is_file():
        raise CoachbookError(
            f"{path} is not a file, and nothing is written in its place.", "Choose another name."
        )
    if _is_database(path):
        raise CoachbookError(
            f"{path} is a database, such as a book, and nothing is written over it.",
            "Choose another name.",
        )
    check_not_beside(path)


def check_not_beside(path: Path) -> None:
    """Raises CoachbookError for a name that SQLite keeps for a file beside a database that is there."""
    for suffix in SIDE_FILES:
        beside = path.name.removesuffix(suffix)
        if beside not in ("", path.name) and _is_database(path.with_name(beside)):
            raise CoachbookError(f"{path.name} belongs to {beside}, a database.", "Choose another name.")


def _is_database(path: Path) -> bool:
    if not path.is_file():
        return False
    with path.open("rb") as file:
        return file.read(len(_DATABASE)) == _DATABASE

"""Files on their way: private, beside their place, and swept once nobody works on them any more.

A program that is killed leaves them. Their places are noted in the user's cache folder, so that the
next command that writes, and whoever erases a student, finds them wherever they are.

All of it raises OSError where the disk, or the permissions there, do not allow it.
"""

import os
import re
import secrets
import shutil
import sys
import time
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from pathlib import Path

from coachbook.files.reading import cache_folder

if sys.platform != "win32":
    import fcntl

SIDE_FILES = ("-journal", "-wal", "-shm")
"""What SQLite keeps beside a database while it is in use, after its name: https://sqlite.org/tempfiles.html"""

_PART = re.compile(r"\.coachbook-(\d{1,9})-[0-9a-f]{8}\.part")
_NOTE = re.compile(r"(\d{1,9})-[0-9a-f]{8}")
_ENDING = ".part"
_A_DAY = 86_400
"""In seconds; no command works for so long."""


@contextmanager
def unfinished_file(folder: Path) -> Iterator[Path]:
    """A new, empty file in `folder` that only its owner may use; gone at the end, unless it was renamed."""
    sweep_left_over(folder)
    with _in_use(_new_part(folder)) as part:
        yield part


@contextmanager
def written_beside(path: Path) -> Iterator[Path]:
    """The same beside `path`, under a hidden name that begins with the name of `path`; what SQLite keeps
    beside a database is gone at the end, too. No other program sweeps it away meanwhile."""
    with _in_use(path.with_name(f".{path.name}.{new_mark()}{_ENDING}")) as part:
        yield part


@contextmanager
def unfinished_folder(folder: Path) -> Iterator[Path]:
    """A new, empty folder within `folder` that only its owner may use; gone at the end."""
    sweep_left_over(folder)
    part = _new_part(folder)
    with noted(part):
        try:
            part.mkdir(mode=0o700)
            yield part
        finally:
            shutil.rmtree(part, ignore_errors=True)


@contextmanager
def noted(part: Path) -> Iterator[None]:
    """While it lasts, the place of an unfinished file (its name ends with ".part") is noted for those
    who sweep. Where nothing can be noted, it goes on without."""
    note = _notes() / new_mark()
    with suppress(OSError):
        make_private_folder(note.parent)
        note.write_text(str(part.absolute()), encoding="utf-8", errors="surrogateescape")
    try:
        yield
    finally:
        with suppress(OSError):
            note.unlink(missing_ok=True)


def sweep_beside(folder: Path, name: str = "") -> None:
    """Removes what killed programs left in a folder, of all files or of those whose name is `name`, or begins
    with it and a dot; what a program is writing stays."""
    beginning = f".{name}." if name else "."
    for each in folder.iterdir():
        if each.name.startswith(beginning) and _ENDING in each.name and not _is_locked(each):
            each.unlink(missing_ok=True)


def sweep_left_over(folder: Path | None = None) -> None:
    """Removes what killed programs have left: wherever it was noted, and all that is in `folder`.

    What cannot be reached, as on a disk that is not there, is left for another time.
    """
    for note in _in(_notes()):
        match = _NOTE.fullmatch(note.name)
        if match and not _is_at_work(int(match[1]), note):
            with suppress(OSError, ValueError):
                part = Path(note.read_text(encoding="utf-8", errors="surrogateescape"))
                if part.parent.is_dir():
                    _remove(part)
                    note.unlink(missing_ok=True)
    for part in _in(folder) if folder is not None else ():
        match = _PART.fullmatch(part.name)
        if match and not _is_at_work(int(match[1]), part):
            with suppress(OSError):
                _remove(part)


def new_mark() -> str:
    """What makes the name of an unfinished file its own, such as "4711-5f0c9a1e": the process, by which it
    shows whether somebody is still at work, and what no other thread of it has."""
    return f"{os.getpid()}-{secrets.token_hex(4)}"


def create_private(path: Path) -> None:
    """Makes an empty file that only its owner may use. Raises OSError, also if there is one.

    SQLite gives its side files the same permissions.
    """
    os.close(os.open(path, os.O_CREAT | os.O_EXCL | os.O_RDWR, 0o600))


def make_private_folder(folder: Path) -> list[Path]:
    """Makes a folder, with those above it, that only their owner may use: those that were not there."""
    made: list[Path] = []
    for each in (*reversed(folder.parents), folder):
        if not each.is_dir():
            each.mkdir(mode=0o700, exist_ok=True)
            made.append(each)
    return made


def _notes() -> Path:
    return cache_folder() / "unfinished"


def _new_part(folder: Path) -> Path:
    return folder / f".coachbook-{new_mark()}.part"


def _in(folder: Path) -> list[Path]:
    try:
        return list(folder.iterdir())
    except OSError:
        return []


def _remove(part: Path) -> None:
    """Removes an unfinished file or folder, and what SQLite keeps beside it; nothing of another name."""
    if not part.name.startswith(".") or not part.name.endswith(_ENDING):
        return
    if part.is_dir() and not part.is_symlink():
        shutil.rmtree(part)
        return
    for suffix in ("", *SIDE_FILES):
        part.with_name(part.name + suffix).unlink(missing_ok=True)


@contextmanager
def _in_use(part: Path) -> Iterator[Path]:
    """Makes a private file, which is noted and locked for so long; it is gone at the end."""
    with noted(part):
        handle = _create_locked(part)
        try:
            yield part
        finally:
            _remove(part)
            if handle is not None:
                os.close(handle)


def _create_locked(part: Path) -> int | None:
    """Makes the file, and locks it as long as the handle that is returned is open; None on Windows, where
    there are no such locks, and no file that is open can be renamed."""
    while True:
        create_private(part)
        if sys.platform == "win32":
            return None
        handle = os.open(part, os.O_RDONLY)
        _lock(handle)
        if part.exists():
            return handle
        os.close(handle)  # swept away before it was locked


def _lock(handle: int) -> bool:
    """Locks a file; whether nobody else has. Where there are no such locks, nobody has."""
    if sys.platform != "win32":
        try:
            fcntl.flock(handle, fcntl.LOCK_EX | fcntl.LOCK_NB)
        except BlockingIOError:
            return False
        except OSError:  # a file system without locks
            return True
    return True


def _is_locked(part: Path) -> bool:
    """Whether a program still writes an unfinished file, or the one that this file is beside."""
    unfinished = part.with_name(part.name[: part.name.rindex(_ENDING)] + _ENDING)
    try:
        handle = os.open(unfinished, os.O_RDONLY | getattr(os, "O_NONBLOCK", 0))
    except OSError:
        return False
    try:
        return not _lock(handle)
    finally:
        os.close(handle)


def _is_at_work(process: int, file: Path) -> bool:
    """Whether the process that made a file is still there. Windows cannot be asked without harm; there
    it is by the age of the file."""
    if os.name == "nt":
        with suppress(OSError):
            return time.time() - file.stat().st_mtime < _A_DAY
        return True
    try:
        os.kill(process, 0)
    except ProcessLookupError:
        return False
    except OSError:
        return True
    return True

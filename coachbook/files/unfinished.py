"""Files on their way: private, beside their place, and swept once nobody works on them any more.

A program that is killed leaves them. Their places are noted in the user's cache folder, so that the
next command that writes, and whoever erases a student, finds them wherever they are.
"""

import os
import re
import secrets
import shutil
import time
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from pathlib import Path

from coachbook.files.places import cache_folder

_PART = re.compile(r"\.coachbook-(\d{1,9})-[0-9a-f]{8}\.part")
_NOTE = re.compile(r"(\d{1,9})-[0-9a-f]{8}")
_ENDING = ".part"
_A_DAY = 86_400
"""In seconds; no command works for so long."""


@contextmanager
def unfinished_file(folder: Path) -> Iterator[Path]:
    """A new, empty file in `folder` that only its owner may use; gone at the end, unless it was renamed.

    Raises OSError.
    """
    sweep_left_over(folder)
    part = _new_part(folder)
    with noted(part):
        try:
            os.close(os.open(part, os.O_CREAT | os.O_EXCL | os.O_WRONLY, 0o600))
            yield part
        finally:
            part.unlink(missing_ok=True)


@contextmanager
def unfinished_folder(folder: Path) -> Iterator[Path]:
    """A new, empty folder within `folder` that only its owner may use; gone at the end. Raises OSError."""
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
    note = _notes() / f"{os.getpid()}-{secrets.token_hex(4)}"
    with suppress(OSError):
        make_private_folder(note.parent)
        note.write_text(str(part.absolute()), encoding="utf-8", errors="surrogateescape")
    try:
        yield
    finally:
        with suppress(OSError):
            note.unlink(missing_ok=True)


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


def make_private_folder(folder: Path) -> list[Path]:
    """Makes a folder, with those above it, that only their owner may use: those that were not there.

    Raises OSError.
    """
    made: list[Path] = []
    for each in (*reversed(folder.parents), folder):
        if not each.is_dir():
            each.mkdir(mode=0o700, exist_ok=True)
            made.append(each)
    return made


def _notes() -> Path:
    return cache_folder() / "unfinished"


def _new_part(folder: Path) -> Path:
    return folder / f".coachbook-{os.getpid()}-{secrets.token_hex(4)}.part"


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
    for suffix in ("", "-journal", "-wal", "-shm"):
        part.with_name(part.name + suffix).unlink(missing_ok=True)


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

"""Where things are: the shipped data, the book, what can be made again; and reading files."""

import errno
import os
import stat
from pathlib import Path

from platformdirs import user_cache_path, user_data_path

from coachbook.errors import CoachbookError

FOLDER_VARIABLE = "COACHBOOK_CACHE"


def cache_folder() -> Path:
    """The folder in COACHBOOK_CACHE, else the user's cache folder."""
    named = os.environ.get(FOLDER_VARIABLE)
    return Path(named) if named else user_cache_path("coachbook", appauthor=False)


_PACKAGE = Path(__file__).resolve().parent.parent


def shipped_folder(name: str) -> Path:
    """The folder "curricula" or "sample_club" as it came with coachbook. Raises CoachbookError if it is
    missing."""
    for folder in (_PACKAGE / "data" / name, _PACKAGE.parent / name):
        if folder.is_dir():
            return folder
    raise CoachbookError(
        f"The folder {name} that came with coachbook is missing.", "Install coachbook again."
    )


def usual_book() -> Path:
    """The book in the user's data folder, taken when no other is named."""
    return user_data_path("coachbook", appauthor=False) / "club.book"


MEGABYTE = 1_000_000
LARGEST = 20 * MEGABYTE
"""In bytes: more than a club's tables, games and calendars ever have."""


def read_file(path: Path, largest: int = LARGEST) -> bytes:
    """All that is in a file. Raises OSError, also for a pipe or a device, which may never end, and for
    more than `largest` bytes."""
    mode = path.stat().st_mode
    if not stat.S_ISREG(mode) and not stat.S_ISDIR(mode):  # of a folder the system says so
        raise OSError(errno.EINVAL, "it is not a file", str(path))
    with path.open("rb") as file:
        content = file.read(largest + 1)
    if len(content) > largest:
        raise OSError(errno.EFBIG, f"it has more than {largest // MEGABYTE} MB", str(path))
    return content


def read_text(path: Path, largest: int = LARGEST) -> str:
    """The same of a text in UTF-8, without its mark, and with lines that end as Python's do. Raises OSError
    where `read_file` does, and UnicodeDecodeError if it is no UTF-8."""
    text = read_file(path, largest).decode("utf-8-sig")
    return text.replace("\r\n", "\n").replace("\r", "\n")

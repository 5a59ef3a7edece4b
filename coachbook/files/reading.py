"""Reading a file that somebody names: only what is a file, and only up to a size."""

import errno
import stat
from pathlib import Path

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

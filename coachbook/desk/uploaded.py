"""An upload as a file, for the workflows that read files: in a private folder, and gone afterwards."""

from collections.abc import Iterator
from contextlib import ExitStack, contextmanager
from pathlib import Path
from tempfile import gettempdir

from coachbook.errors import CoachbookError
from coachbook.files.unfinished import unfinished_folder

_NAME = "table.csv"
"""Not the one that the browser sent: that could be anything."""


@contextmanager
def as_file(content: bytes) -> Iterator[Path]:
    """The file, as long as the block lasts. Raises CoachbookError if it cannot be put on the disk."""
    with ExitStack() as until_read:
        try:
            path = until_read.enter_context(unfinished_folder(Path(gettempdir()))) / _NAME
            path.write_bytes(content)
        except OSError as error:
            reason = error.strerror or str(error)
            raise CoachbookError(f"The file could not be put aside ({reason}).", "Make room.") from error
        yield path

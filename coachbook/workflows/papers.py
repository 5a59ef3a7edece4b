"""Papers on their way: all of them whole in a private folder first, then put in place together.

So a sheet can be kept in the book before its paper appears, and paper that could not be written
leaves nothing in the book.
"""

from collections.abc import Iterator
from contextlib import ExitStack, contextmanager, suppress
from dataclasses import dataclass, field
from pathlib import Path

from coachbook.errors import CoachbookError
from coachbook.files.unfinished import make_private_folder, unfinished_folder
from coachbook.paper.page import check_not_beside, check_places


@dataclass(frozen=True, slots=True)
class Papers:
    """Files that are to stand in one folder; until then they are in `room`, a private one."""

    folder: Path
    room: Path
    _parts: list[Path] = field(default_factory=list)

    def part(self, path: Path) -> Path:
        """Where to write what is to stand at `path`. Raises CoachbookError if it may not stand there."""
        check_places((path,))
        self._parts.append(path)
        return self.room / path.name

    def put_in_place(self, *, kept: str = "", again: str = "Choose another place.") -> None:
        """Gives all parts that were written their places, in this order.

        Raises CoachbookError, which says what was `kept` before ("The sheet is in the book") and what
        to do `again`.
        """
        for path in self._parts:
            try:
                (self.room / path.name).replace(path)
            except OSError as error:
                told = f"{path} cannot be written: {error.strerror or error}."
                raise CoachbookError(f"{told} {kept}".rstrip(), again) from error


@contextmanager
def papers_in(folder: Path) -> Iterator[Papers]:
    """The papers of a folder, which is made if it is not there; what was not put in place is gone at the
    end. Raises CoachbookError."""
    made = make_folder(folder)
    try:
        with ExitStack() as stack:
            try:
                room = stack.enter_context(unfinished_folder(folder))
            except OSError as error:
                told = error.strerror or str(error)
                raise CoachbookError(
                    f"{folder} cannot be written: {told}.", "Choose another place."
                ) from error
            try:
                yield Papers(folder, room)
            except CoachbookError as error:
                error.message = error.message.replace(str(room), str(folder))
                raise
    except BaseException:
        for each in reversed(made):
            with suppress(OSError):
                each.rmdir()
        raise


def make_folder(folder: Path) -> list[Path]:
    """Make a folder for files, with those above it, for its owner alone: those that were not there.
    Raises CoachbookError."""
    check_not_beside(folder)
    try:
        return make_private_folder(folder)
    except OSError as error:
        raise CoachbookError(
            f"The folder {folder} cannot be made ({error.strerror}).", "Choose another folder."
        ) from error

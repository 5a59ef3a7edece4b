"""Papers that are being made: named, written whole in a private folder, then put in place together.

So a sheet can be kept in the book before its paper appears, and paper that could not be written
leaves nothing in the book.
"""

import unicodedata
from collections.abc import Iterable, Iterator
from contextlib import ExitStack, contextmanager, suppress
from dataclasses import dataclass, field
from pathlib import Path

from coachbook.club.book import Book
from coachbook.club.names import JOINERS, name_key
from coachbook.club.students import list_groups, list_students, student_named
from coachbook.errors import Advice, CoachbookError
from coachbook.files.unfinished import make_private_folder, unfinished_folder
from coachbook.files.writing import check_not_beside, check_places, put_in_place
from coachbook.paper.text import unprintable, unprinted

_LONGEST = 150
"""In bytes of UTF-8: a file system takes 255, of which a report's name needs some."""


def file_names(names: Iterable[str]) -> dict[str, str]:
    """By name: what to call a file of that student or group, without an ending, such as "anna-lena".

    Letters, marks and digits of all scripts stay, anything else is a hyphen. Where two would be the same,
    whatever their case and Unicode form, the later one of `names` has a number after it.
    """
    found: dict[str, str] = {}
    taken: set[str] = set()
    for name in names:
        bare, number = _bare(name), 1
        unique = bare
        while name_key(unique) in taken:
            number += 1
            unique = f"{bare}-{number}"
        taken.add(name_key(unique))
        found[name] = unique
    return found


def file_name_of(book: Book, student: str) -> str:
    """What to call a file of a student: numbers go by who came into the book first, so that one who is
    added changes nothing. Raises CoachbookError for an unknown one."""
    with book.reading() as tx:
        name = student_named(tx, student).name
        by_age = sorted(list_students(tx), key=lambda each: each.id)
    return file_names(each.name for each in by_age)[name]


def file_name_of_group(book: Book, group: str) -> str:
    """What to call a file of a group (by its name as it is kept), likewise."""
    with book.reading() as tx:
        by_age = sorted(list_groups(tx), key=lambda each: each.id)
    return file_names(each.name for each in by_age)[group]


def _bare(name: str) -> str:
    lower = unicodedata.normalize("NFC", name.lower())
    seen = (sign for sign in lower if sign not in JOINERS)
    cleaned = "".join(sign if unicodedata.category(sign)[0] in "LMN" else "-" for sign in seen)
    return cleaned.encode()[:_LONGEST].decode(errors="ignore")


@dataclass(frozen=True, slots=True)
class Papers:
    """Files that are to stand in one folder; until then they are in `unfinished`, a private one."""

    folder: Path
    unfinished: Path
    _parts: list[Path] = field(default_factory=list)

    def add(self, path: Path, content: bytes) -> None:
        """Writes what is to stand at `path`. Raises CoachbookError if it may not stand there, or there is
        no space for it."""
        check_places((path,))
        put_in_place(self.unfinished / path.name, content)
        self._parts.append(path)

    def put_in_place(self, *, kept: str = "", again: str | Advice = "Choose another place.") -> None:
        """Gives all that was added its place, in this order.

        Raises CoachbookError, which says what was `kept` before ("The sheet is in the book") and what
        to do `again`.
        """
        for path in self._parts:
            try:
                (self.unfinished / path.name).replace(path)
            except OSError as error:
                what = f"{path} cannot be written: {error.strerror or error}."
                raise CoachbookError(f"{what} {kept}".rstrip(), again) from error


@contextmanager
def papers_in(folder: Path) -> Iterator[Papers]:
    """The papers of a folder, which is made if it is not there; what was not put in place is gone at the end.
    Raises CoachbookError if it cannot be made, or nothing can be written in it."""
    made = make_folder(folder)
    try:
        with ExitStack() as stack:
            try:
                unfinished = stack.enter_context(unfinished_folder(folder))
            except OSError as error:
                reason = error.strerror or str(error)
                raise CoachbookError(
                    f"{folder} cannot be written: {reason}.", "Choose another place."
                ) from error
            try:
                yield Papers(folder, unfinished)
            except CoachbookError as error:
                error.message = error.message.replace(str(unfinished), str(folder))
                raise
    except BaseException:
        for each in reversed(made):
            with suppress(OSError):
                each.rmdir()
        raise


def put_in_folder(path: Path, content: bytes) -> None:
    """Puts one file in place, in a folder that is made if it is not there. Raises CoachbookError if the
    folder cannot be made, or the file may not stand there or cannot be written."""
    make_folder(path.parent)
    put_in_place(path, content)


def letters_without_font() -> tuple[str, ...]:
    """Those that papers had to be printed without since this was last asked, in order."""
    return unprinted()


def letters_lacking(text: str) -> tuple[str, ...]:
    """Those of a text, such as names, that papers would have to be printed without, each once, in order."""
    return unprintable(" ".join(text.split()))


def make_folder(folder: Path) -> list[Path]:
    """Make a folder for files, with those above it, for its owner alone: those that were not there. Raises
    CoachbookError if one cannot be made."""
    check_not_beside(folder)
    try:
        return make_private_folder(folder)
    except OSError as error:
        raise CoachbookError(
            f"The folder {folder} cannot be made ({error.strerror}).", "Choose another folder."
        ) from error

"""Where the two files of an evening stand, for all groups that meet on it, or for fewer: then the names say
for which, so that no group's papers take the place of another's."""

from collections.abc import Iterator, Sequence
from datetime import date
from pathlib import Path

from coachbook.club.book import Book, Reading
from coachbook.club.students import list_groups
from coachbook.workflows.evening_grid import groups_meeting
from coachbook.workflows.papers import file_names

Files = tuple[Path, Path]
"""The file for the printer and the one for the coach."""

_BETWEEN = "+"
"""Stands in the name of no group's file."""
_LONGEST = 200
"""In bytes of UTF-8: a file system takes 255."""


def evening_folder(papers: Path, on: date) -> Path:
    """The folder of an evening among the club's papers."""
    return papers / f"evening-{on}"


def evening_files_in(book: Book, folder: Path, on: date, groups: Sequence[str]) -> Files:
    """Where in a folder the files of these groups (by their names as they are kept) stand."""
    with book.reading() as tx:
        if groups_meeting(tx, on) <= set(groups):
            return _called(folder, "")
        called = _names(tx)
        numbers = {each.name: str(each.id) for each in list_groups(tx)}
    names = _BETWEEN.join(called[name] for name in groups)
    if len(names.encode()) > _LONGEST:
        names = _BETWEEN.join(["groups", *(numbers[name] for name in groups)])
    return _called(folder, f"-{names}")


def files_of_some(book: Book, folder: Path) -> Iterator[tuple[tuple[str, ...], Files]]:
    """The files that are in a folder for some of an evening's groups, with the names of these."""
    with book.reading() as tx:
        groups = {called: name for name, called in _names(tx).items()}
    for file in sorted(folder.glob("print-*.pdf")):
        named = file.stem.removeprefix("print-")
        names = tuple(groups.get(each, "") for each in named.split(_BETWEEN))
        files = _called(folder, f"-{named}")
        if all(names) and all(each.is_file() for each in files):
            yield names, files


def _called(folder: Path, ending: str) -> Files:
    return folder / f"print{ending}.pdf", folder / f"coach{ending}.pdf"


def _names(tx: Reading) -> dict[str, str]:
    """What the files of each group are called, by its name: numbers go by which group was made first."""
    return file_names(each.name for each in sorted(list_groups(tx), key=lambda each: each.id))

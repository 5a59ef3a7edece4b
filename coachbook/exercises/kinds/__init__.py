"""The kinds of exercise, one file each; a kind's file name is its name. They are imported only when used."""

from functools import cache
from importlib import import_module
from pathlib import Path
from typing import TYPE_CHECKING

from coachbook.errors import CoachbookError

if TYPE_CHECKING:
    from coachbook.exercises.kind import Kind

_FOLDER = Path(__file__).parent


@cache
def kind_names() -> tuple[str, ...]:
    """The names of all kinds, in alphabetical order."""
    return tuple(sorted(file.stem for file in _FOLDER.glob("[a-z]*.py")))


def find_kind(name: str) -> "Kind":
    """The kind of this name. Raises CoachbookError if there is none."""
    if name not in kind_names():
        raise CoachbookError(
            f"There is no kind of exercise '{name}'.", f"Choose one of: {', '.join(kind_names())}."
        )
    kind: Kind = import_module(f"coachbook.exercises.kinds.{name}").KIND
    return kind

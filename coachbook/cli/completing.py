"""What the Tab key offers in place of a name or a code. It is quick, changes nothing, and where there is no
club, or no syllabus, it offers nothing."""

import os
import re
from collections.abc import Iterable
from pathlib import Path
from typing import TYPE_CHECKING

import typer

from coachbook.model.problem import first_hidden

if TYPE_CHECKING:
    from coachbook.club.names_at_once import NameOf

_ASKED = "_COACHBOOK_COMPLETE"
_IN_BASH = "complete_bash"
_OBEYED = re.compile(r"""([\s\\'"`$&|;<>()*?\[\]#~!{}])""")
"""Signs that a shell would obey, or break a word at."""


def groups_known(ctx: typer.Context, incomplete: str) -> list[str]:
    """The names of the groups that begin so."""
    from coachbook.club.names_at_once import NameOf

    return _names(ctx, NameOf.GROUP, incomplete)


def students_known(ctx: typer.Context, incomplete: str) -> list[str]:
    """The names of the students that begin so."""
    from coachbook.club.names_at_once import NameOf

    return _names(ctx, NameOf.STUDENT, incomplete)


def sheets_known(ctx: typer.Context, incomplete: str) -> list[str]:
    """The codes of the sheets that begin so, the newest first."""
    from coachbook.club.names_at_once import NameOf

    return _names(ctx, NameOf.SHEET, incomplete)


def units_known(ctx: typer.Context, incomplete: str) -> list[str]:
    """The codes of the syllabus that begin so, as far as its files can be read."""
    from coachbook.errors import CoachbookError
    from coachbook.files.reading import shipped_folder
    from coachbook.syllabus import unit_codes

    try:
        return _beginning(unit_codes(_named(ctx, "syllabus") or shipped_folder("curricula")), incomplete)
    except CoachbookError:
        return []


def methods_known(incomplete: str) -> list[str]:
    """The names of the methods that begin so."""
    from coachbook.method.teaching_order import method_names

    return _beginning(method_names(), incomplete)


def kinds_known(incomplete: str) -> list[str]:
    """The names of the kinds of exercise that begin so."""
    from coachbook.exercises.kinds import kind_names

    return _beginning(kind_names(), incomplete)


def _names(ctx: typer.Context, what: "NameOf", incomplete: str) -> list[str]:
    from coachbook.club.names_at_once import names_at_once
    from coachbook.files.reading import usual_book

    return _beginning(names_at_once(_named(ctx, "book") or usual_book(), what), incomplete)


def _named(ctx: typer.Context, option: str) -> Path | None:
    """The file or folder that an option, or its environment variable, names before the word."""
    named = ctx.params.get(option) or os.environ.get(f"COACHBOOK_{option.upper()}")
    return Path(named) if named else None


def _beginning(words: Iterable[str], incomplete: str) -> list[str]:
    return [_as_typed(word) for word in words if word.startswith(incomplete) and not first_hidden(word)]


def is_asked() -> bool:
    """Whether a shell asks what the Tab key is to offer; it reads the answer to the last sign."""
    return _ASKED in os.environ


def _as_typed(word: str) -> str:
    """Bash puts into the line what it is given, as it stands; other shells mind blanks themselves."""
    if os.environ.get(_ASKED) != _IN_BASH:
        return word
    return _OBEYED.sub(r"\\\1", word)

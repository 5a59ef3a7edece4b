"""What was typed and is not in the book yet: a private file beside the book, written line by line.

It holds names and answers of students, as the book does, and is gone as soon as all of it is kept.
"""

import json
import os
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from enum import StrEnum
from pathlib import Path
from typing import Any

from coachbook.club.aside import put_over
from coachbook.club.connection import disk_error
from coachbook.errors import CoachbookError
from coachbook.files.unfinished import sweep_beside, written_beside

_FORM = 1
"""Of the file, and written in it."""


class Typed(StrEnum):
    """What a line is about."""

    ANSWERS = "answers"
    ABSENT = "absent"
    PLAY_OUT = "play-out"
    NOTE = "note"


@dataclass(frozen=True, slots=True)
class DraftLine:
    """One line of an evening: what a `student` has `written` on a sheet, item by item; or the `text` that
    the coach typed, of a group. `about` is the sheet's code or the group's name."""

    what: Typed
    on: date
    about: str
    student: str = ""
    written: tuple[tuple[int, str], ...] = ()
    text: str = ""

    @property
    def key(self) -> tuple[str, ...]:
        """Equal for lines of which the later one holds."""
        if self.what is Typed.ANSWERS:
            return self.what, self.about, self.student
        if self.what is Typed.ABSENT:
            return self.what, self.about, str(self.on)
        return self.what, self.about, str(self.on), self.text


def draft_file(book_path: Path) -> Path:
    """Where the draft of a book lies, whether there is one or not."""
    return book_path.with_name(f"{book_path.name}.typed")


def read_draft(book_path: Path) -> tuple[DraftLine, ...]:
    """What was typed and is not kept, in the order in which it was typed; () if there is no draft.

    Raises CoachbookError if there is one that cannot be read.
    """
    path = draft_file(book_path)
    try:
        text = path.read_text(encoding="utf-8")
    except FileNotFoundError:
        return ()
    except OSError as error:
        raise disk_error(path, error, "draft") from error
    except UnicodeDecodeError as error:
        raise _damaged(path) from error
    try:
        kept = json.loads(text)
        if kept["form"] != _FORM:
            raise _damaged(path)
        return tuple(map(_line_from, kept["lines"]))
    except (ValueError, TypeError, KeyError, AttributeError, RecursionError) as error:
        raise _damaged(path) from error


def write_draft(book_path: Path, lines: Sequence[DraftLine]) -> None:
    """Puts these lines in place of what was there before, so that they outlast a loss of power; with none
    the draft is gone. Raises CoachbookError if it cannot be written; then it is as it was."""
    if not lines:
        drop_draft(book_path)
        return
    path = draft_file(book_path)
    text = json.dumps({"form": _FORM, "lines": list(map(_stored, lines))}, ensure_ascii=False, indent=1)
    try:
        with written_beside(path) as unfinished:
            with unfinished.open("w", encoding="utf-8") as file:
                file.write(text)
                file.flush()
                os.fsync(file.fileno())
            put_over(unfinished, path)
    except OSError as error:
        raise disk_error(path, error, "draft") from error


def drop_draft(book_path: Path) -> bool:
    """Removes the draft, with what a killed program left of one: whether there was any.

    Raises CoachbookError if it cannot be removed.
    """
    path = draft_file(book_path)
    try:
        there = path.exists()
        path.unlink(missing_ok=True)
        sweep_beside(path.parent, path.name)
    except OSError as error:
        raise disk_error(path, error, "draft") from error
    return there


def _stored(line: DraftLine) -> dict[str, object]:
    return {
        "what": line.what,
        "on": str(line.on),
        "about": line.about,
        "student": line.student,
        "written": dict(line.written),
        "text": line.text,
    }


def _line_from(kept: dict[str, Any]) -> DraftLine:
    texts = [kept[name] for name in ("about", "student", "text")]
    written = tuple((int(item), answer) for item, answer in kept["written"].items())
    if not all(isinstance(each, str) for each in (*texts, *(answer for _, answer in written))):
        raise ValueError("a text is none")
    about, student, text = texts
    return DraftLine(Typed(kept["what"]), date.fromisoformat(kept["on"]), about, student, written, text)


def _damaged(path: Path) -> CoachbookError:
    return CoachbookError(
        f"{path} holds lines that were typed but not kept, and it cannot be read.",
        "Move the file away, then try again.",
    )

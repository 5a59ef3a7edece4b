"""Runs the real command in this process, through its own handling of errors, with pipes for a terminal."""

import re
import sys
from dataclasses import dataclass
from pathlib import Path

from typer.testing import CliRunner

from coachbook.cli.main import main
from coachbook.club.book import open_book
from coachbook.club.sheets import load_worksheet
from coachbook.model.worksheet import Worksheet
from coachbook.wording.exercises import accepted_words


@dataclass(frozen=True, slots=True)
class Ran:
    code: object
    out: str
    err: str

    @property
    def problems(self) -> list[str]:
        return self.err.splitlines()


def run(*arguments: str, typed: str | bytes = "") -> Ran:
    """What `coachbook ARGUMENTS` prints. A bug's exception passes through, as it should."""
    with CliRunner().isolation(input=typed) as (out, err, _):
        try:
            main(arguments)
        except SystemExit as stopped:
            code = stopped.code or 0
        sys.stdout.flush()
        sys.stderr.flush()
        return Ran(code, out.getvalue().decode(), err.getvalue().decode())


def done(*arguments: str, typed: str | bytes = "") -> str:
    """What a command prints that must succeed without a word on stderr."""
    ran = run(*arguments, typed=typed)
    assert (ran.code, ran.err) == (0, ""), ran
    return ran.out


def everything_in(folder: Path) -> dict[str, bytes | None]:
    """Every folder (None) and file (its bytes), to compare before and after."""
    return {
        str(path.relative_to(folder)): None if path.is_dir() else path.read_bytes()
        for path in sorted(folder.rglob("*"))
    }


def kept_in(folder: Path) -> dict[str, bytes | None]:
    """The same without the backup of the day, and what is typed and put aside: both are made before
    anything is kept."""
    beside = re.compile(r"(\.backups|-daily-\d+\.book|\.typed)$")
    return {name: content for name, content in everything_in(folder).items() if not beside.search(name)}


def sheet_in(book: Path, code: str) -> Worksheet:
    with open_book(book).reading() as page:
        return load_worksheet(page, code)


def right_answers(sheet: Worksheet) -> list[str]:
    return [", ".join(accepted_words(item.answer)) or "none" for item in sheet.items]

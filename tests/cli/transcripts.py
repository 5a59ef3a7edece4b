"""Plays transcripts: text files of what was typed to coachbook, and what it said.

    $ coachbook log answers QS-86VVD --date 2026-11-12
    | mate; ?; Ke6
    Kept: 3 answers of Dov on sheet QS-86VVD.

A line with `$` is a command: one of coachbook's, `cat > FILE`, `cat FILE`, or `pdftotext FILE`, with `-l N`
for the first N pages. Lines with `|` are what is typed, or put into the file; before what is said on stderr
stands a `!`. How wide columns and pages are makes no difference: spaces are squeezed, empty lines are left
out, and a page is told sentence by sentence.
"""

import re
import shlex
from collections.abc import Iterator, Sequence
from pathlib import Path

from pypdf import PdfReader
from pypdf.generic import DictionaryObject, NameObject

from tests.cli.drive import run

_SENTENCE = re.compile(r"(?<=[.;:?]) ")


def play(transcript: str) -> list[str]:
    """The lines of the transcript when its commands are typed again, in the current folder."""
    return [line for command, typed in _commands(transcript) for line in _played(command, typed)]


def _commands(transcript: str) -> Iterator[tuple[str, list[str]]]:
    """Each command with what is typed to it."""
    command, typed = "", list[str]()
    for line in transcript.splitlines():
        if line.startswith("$ "):
            if command:
                yield command, typed
            command, typed = line.removeprefix("$ "), []
        elif line.startswith("|"):
            typed.append(line.removeprefix("|").removeprefix(" "))
    yield command, typed


def _played(command: str, typed: Sequence[str]) -> list[str]:
    name, *arguments = shlex.split(command)
    told = [f"$ {command}", *(f"| {line}".rstrip() for line in typed)]
    text = "".join(f"{line}\n" for line in typed)
    if name == "coachbook":
        ran = run(*arguments, typed=text)
        return [*told, *_squeezed(ran.out), *(f"! {line}" for line in _squeezed(ran.err))]
    if name == "pdftotext":
        last = int(arguments[1]) if arguments[0] == "-l" else None
        return [*told, *_pages(Path(arguments[-1]), last)]
    assert name == "cat", command
    if arguments[0] == ">":
        Path(arguments[1]).write_text(text, encoding="utf-8")
        return told
    return [*told, *_squeezed(Path(arguments[0]).read_text(encoding="utf-8"))]


def _squeezed(text: str) -> list[str]:
    return [" ".join(line.split()) for line in text.splitlines() if line.strip()]


def _pages(path: Path, last: int | None) -> Iterator[str]:
    for number, page in enumerate(PdfReader(path).pages[:last], start=1):
        # Boards and men are forms without words, and to read through them takes most of the time.
        resources = page["/Resources"]
        assert isinstance(resources, DictionaryObject)
        for form in resources.get("/XObject", {}).values():
            form.get_object()[NameObject("/Subtype")] = NameObject("/Image")
        yield f"-- page {number}"
        yield from _SENTENCE.split(" ".join(page.extract_text().split()))

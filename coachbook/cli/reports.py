"""What a command says at its end: JSON for other programs, or the mistakes in a file."""

import json
import re
import sys
from collections.abc import Iterable
from dataclasses import asdict, is_dataclass
from datetime import date

import typer

from coachbook.cli.wrapping import as_it_is
from coachbook.model.problem import Problem

_LONGEST = 900
_CONTROLS = re.compile("[\x7f-\x9f]")  # JSON itself escapes only those below U+0020


def print_json(value: object) -> None:
    """Print lists, dicts and the model's dataclasses as JSON: keys are field names, dates ISO 8601."""
    text = json.dumps(value, indent=2, ensure_ascii=False, default=_plain)
    typer.echo(_CONTROLS.sub(lambda sign: f"\\u{ord(sign[0]):04x}", text), file=as_it_is(sys.stdout))


def stop_if_any(problems: Iterable[Problem]) -> None:
    """If there are mistakes: each on its own line of stderr, and exit code 2."""
    told = [one_line(str(problem)) for problem in problems]
    for line in told:
        typer.echo(f"coachbook: {line}", err=True)
    if told:
        raise typer.Exit(2)


def one_line(text: str) -> str:
    """The text without line breaks, nor anything else that a terminal would obey.

    Of a text that would fill the screen the middle is left out: what was typed is told at its
    beginning, and what to do at its end.
    """
    told = "".join(sign if sign.isprintable() else " " for sign in text)
    if len(told) <= _LONGEST:
        return told
    return f"{told[: _LONGEST // 2]} ... {told[-_LONGEST // 2 :]}"


def _plain(value: object) -> object:
    if is_dataclass(value) and not isinstance(value, type):
        return asdict(value)
    if isinstance(value, date):
        return value.isoformat()
    raise TypeError(f"{type(value).__name__} has no form in JSON")

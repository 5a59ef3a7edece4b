"""What a command says at its end: JSON for other programs, or the mistakes in a file."""

import json
import sys
from collections.abc import Iterable
from dataclasses import asdict, is_dataclass
from datetime import date

import typer

from coachbook.cli.wrapping import as_it_is
from coachbook.model.problem import Problem
from coachbook.model.signs import first_hidden, without_hidden

_LONGEST = 900


def print_json(value: object) -> None:
    """Print lists, dicts and the model's dataclasses as JSON: keys are field names, dates ISO 8601."""
    text = json.dumps(value, indent=2, ensure_ascii=False, default=_plain)
    shown = (_escaped(line) if first_hidden(line) else line for line in text.split("\n"))
    typer.echo("\n".join(shown), file=as_it_is(sys.stdout))


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
    told = without_hidden(" ".join(text.splitlines()))
    if len(told) <= _LONGEST:
        return told
    return f"{told[: _LONGEST // 2]} ... {told[-_LONGEST // 2 :]}"


def _escaped(line: str) -> str:
    """A line of JSON, in which hidden signs stand within texts only, with escapes for them."""
    return "".join(json.dumps(sign)[1:-1] if first_hidden(sign) else sign for sign in line)


def _plain(value: object) -> object:
    if is_dataclass(value) and not isinstance(value, type):
        return asdict(value)
    if isinstance(value, date):
        return value.isoformat()
    raise TypeError(f"{type(value).__name__} has no form in JSON")

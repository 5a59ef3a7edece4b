"""`coachbook desk` and `coachbook play`: the same things in a browser, served from this machine."""

import gc
from collections.abc import Callable
from contextlib import suppress
from typing import TYPE_CHECKING, Annotated

import typer

from coachbook.cli.options import BookOption, SyllabusOption, UnitArgument, read_number

if TYPE_CHECKING:
    from coachbook.desk.server import Started

PortOption = Annotated[
    int | None,
    typer.Option("--port", metavar="N", parser=read_number, help="The port, if not the usual one."),
]
NoOpenOption = Annotated[bool, typer.Option("--no-open", help="Only show the link; open no browser.")]
_CLOSED = "The desk is closed. Everything that you saw kept is in the book."


def desk(
    port: PortOption = None,
    room: Annotated[
        bool,
        typer.Option("--room", help="Also for tablets in the room's network that you let in, one by one."),
    ] = False,
    no_open: NoOpenOption = False,
    book: BookOption = None,
    syllabus: SyllabusOption = None,
) -> None:
    """Work in your browser: tonight, groups, term, papers. It is served from this machine, and unless you
    say --room for this machine alone."""
    serve = _server()
    with suppress(KeyboardInterrupt):
        serve(book, syllabus, port, _tell, opens=not no_open, room=room)
    typer.echo(_CLOSED)


def play(
    unit: UnitArgument,
    number: Annotated[
        int,
        typer.Option("--number", metavar="N", parser=read_number, help="Which of its positions to play out."),
    ] = 1,
    port: PortOption = None,
    no_open: NoOpenOption = False,
    book: BookOption = None,
    syllabus: SyllabusOption = None,
) -> None:
    """Play a unit's position out against coachbook. It opens in your browser, plays the longest defence, and
    says afterwards how it went."""
    from coachbook.workflows.practice import practice_of
    from coachbook.workflows.standings import load_syllabus

    found = practice_of(load_syllabus(syllabus), unit, number, seed=0)
    serve = _server()
    with suppress(KeyboardInterrupt):
        page = f"/play/{found.unit.code}/{found.number}"
        serve(book, syllabus, port, _tell, opens=not no_open, page=page)
    typer.echo(_CLOSED)


def _server() -> "Callable[..., None]":
    """What serves the desk. All that it loads stays for as long as it runs: to look for garbage in it would
    only delay the first page, and now and then any other."""
    gc.disable()
    from coachbook.desk.server import serve

    gc.freeze()
    gc.enable()
    return serve


def _tell(started: "Started") -> None:
    typer.echo(f"The desk is open in your browser; if not, open this link (it works once): {started.link}")
    if started.desk.room:
        typer.echo(f"Tablets in this network come in with a code from {started.desk.address}/room")
    typer.echo("To close the desk, press Ctrl-C here.")

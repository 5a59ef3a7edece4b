"""`coachbook desk`: the same things in a browser, served from this machine."""

from contextlib import suppress
from typing import TYPE_CHECKING, Annotated

import typer

from coachbook.cli.options import BookOption, SyllabusOption, read_number

if TYPE_CHECKING:
    from coachbook.desk.server import Started


def desk(
    port: Annotated[
        int | None,
        typer.Option("--port", metavar="N", parser=read_number, help="The port, if not the usual one."),
    ] = None,
    room: Annotated[
        bool,
        typer.Option("--room", help="Also for tablets in the room's network that you let in, one by one."),
    ] = False,
    no_open: Annotated[bool, typer.Option("--no-open", help="Only show the link; open no browser.")] = False,
    book: BookOption = None,
    syllabus: SyllabusOption = None,
) -> None:
    """Work in your browser: tonight, groups, term, papers. It is served from this machine, and unless you
    say --room for this machine alone."""
    from coachbook.desk.server import serve

    with suppress(KeyboardInterrupt):
        serve(book, syllabus, port, _tell, opens=not no_open, room=room)
    typer.echo("The desk is closed. Everything that you saw kept is in the book.")


def _tell(started: "Started") -> None:
    typer.echo(f"The desk is open in your browser; if not, open this link (it works once): {started.link}")
    if started.desk.room:
        typer.echo(f"Tablets in this network come in with a code from {started.desk.address}/room")
    typer.echo("To close the desk, press Ctrl-C here.")

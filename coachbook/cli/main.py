"""The command `coachbook`: its groups of commands, and how an error looks."""

import sys

import typer

from coachbook import __version__
from coachbook.cli import ending
from coachbook.errors import CoachbookError

app = typer.Typer(
    name="coachbook",
    help="Plan, print and follow up endgame lessons for a chess club.",
    no_args_is_help=True,
    rich_markup_mode=None,
    pretty_exceptions_enable=False,
    add_completion=False,
)
app.add_typer(ending.app, name="ending")


def _show_version(wanted: bool) -> None:
    if wanted:
        typer.echo(f"coachbook {__version__}")
        raise typer.Exit


@app.callback()
def coachbook(
    version: bool = typer.Option(
        False, "--version", callback=_show_version, is_eager=True, help="Show the version and stop."
    ),
) -> None:
    """Plan, print and follow up endgame lessons for a chess club."""


def main() -> None:
    """Run the command line; a known error is one line on stderr and exit code 2."""
    try:
        app()
    except CoachbookError as error:
        typer.echo(f"coachbook: {error}", err=True)
        sys.exit(2)

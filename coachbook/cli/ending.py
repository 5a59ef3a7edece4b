"""`coachbook ending`: exact truth about an ending."""

import typer

app = typer.Typer(
    help="Exact truth about endings: who wins, how fast, and why.",
    no_args_is_help=True,
    rich_markup_mode=None,
)

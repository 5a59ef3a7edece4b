"""A group at a glance, in a terminal: a table with a letter for each standing, slips and trend."""

from itertools import groupby

import typer

from coachbook.cli.console import show_table
from coachbook.model.progress import Standing
from coachbook.model.reports import GroupOverview, TrendPoint

_LETTERS = {Standing.NEW: ".", Standing.WORKING: "W", Standing.SECURE: "S", Standing.FADING: "F"}
_BAR = 20


def show_overview(seen: GroupOverview) -> None:
    """Print it: units are numbered by level (2.1 is the first unit of level 2 that is shown)."""
    typer.echo(f"{seen.group}, {seen.on}: {len(seen.rows)} students")
    typer.echo()
    numbers = _numbers(seen)
    show_table(
        ("Student", *numbers),
        [(name, *(_LETTERS[each] for each in standings)) for name, standings in seen.rows],
    )
    typer.echo()
    typer.echo("S secure   F fading   W working   . new")
    for number, unit in zip(numbers, seen.units, strict=True):
        typer.echo(f"{number}  {unit.title}")
    if seen.slips:
        typer.echo()
        typer.echo("Most frequent slips, and what to teach again:")
        for slip in seen.slips:
            typer.echo(f"  {slip.told}: {', '.join(slip.units)}")
    if seen.trend:
        typer.echo()
        show_table(
            ("Evening", "Right", "", "Secure units"),
            [
                (str(each.on), f"{each.right} of {each.tried}", _bar(each), str(each.secure))
                for each in seen.trend
            ],
        )


def _numbers(seen: GroupOverview) -> list[str]:
    return [
        f"{level}.{number}"
        for level, units in groupby(seen.units, key=lambda unit: unit.level)
        for number, _ in enumerate(units, start=1)
    ]


def _bar(point: TrendPoint) -> str:
    return "#" * round(_BAR * point.right / point.tried) if point.tried else ""

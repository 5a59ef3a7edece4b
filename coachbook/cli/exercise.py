"""`coachbook exercise`: the kinds of exercise, and how many there are of each."""

from typing import Annotated

import typer

from coachbook.cli.console import progress_bar, show_table
from coachbook.cli.options import JsonOption, SyllabusOption, noun
from coachbook.cli.reports import print_json

app = noun("Kinds of exercise, and how many different ones there are.")


@app.command("list")
def list_() -> None:
    """List the kinds of exercise that a syllabus may name."""
    from coachbook.exercises.registry import find_kind, kind_names

    show_table(("Kind", "What it asks"), [(name, find_kind(name).title) for name in kind_names()])


@app.command("count")
def count(
    unit: Annotated[
        str | None, typer.Argument(metavar="UNIT", help="One unit's code; else all units.")
    ] = None,
    syllabus: SyllabusOption = None,
    as_json: JsonOption = False,
) -> None:
    """Count the different exercises of every kind that the units can make.

    Positions that differ only by turning or mirroring the board count once.
    """
    from coachbook.workflows.supply import count_supply
    from coachbook.workflows.teaching import load_syllabus

    with progress_bar() as progress:
        counts = count_supply(load_syllabus(syllabus), unit, progress)
    if as_json:
        print_json(counts)
        return
    show_table(
        ("Unit", "Kind", "Positions", "Exercises"),
        [
            (
                each.unit,
                each.kind,
                f"{each.positions:,}",
                f"{'about ' if each.estimated else ''}{each.exercises:,}",
            )
            for each in counts
        ],
    )

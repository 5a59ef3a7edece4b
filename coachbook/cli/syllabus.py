"""`coachbook syllabus`: the graded syllabus, as a coach reads and edits it."""

from pathlib import Path
from typing import Annotated

import typer

from coachbook.cli.console import progress_bar, show_table
from coachbook.cli.options import JsonOption, SyllabusOption, noun
from coachbook.cli.reports import print_json, stop_if_any

app = noun("The graded syllabus: its levels and units.")


@app.command("list")
def list_(syllabus: SyllabusOption = None, as_json: JsonOption = False) -> None:
    """List the units, level by level."""
    from coachbook.workflows.teaching import load_syllabus

    read = load_syllabus(syllabus)
    if as_json:
        print_json(
            [
                {
                    "level": level.number,
                    "title": level.title,
                    "units": [
                        {"code": unit.code, "title": unit.title, "minutes": unit.minutes}
                        for unit in level.units
                    ],
                }
                for level in read.levels
            ]
        )
        return
    for level in read.levels:
        typer.echo(f"Level {level.number}: {level.title}")
        show_table(
            ("Unit", "Title", "Minutes", "Comes after"),
            [
                (each.code, each.title, str(each.minutes), ", ".join(each.prerequisites))
                for each in level.units
            ],
        )
        typer.echo()


@app.command("show")
def show(
    unit: Annotated[str, typer.Argument(metavar="UNIT", help="A unit's code, such as queen-box.")],
    syllabus: SyllabusOption = None,
    as_json: JsonOption = False,
) -> None:
    """Show a unit: what to say, what to ask, what to watch for."""
    from coachbook.cli.unit_page import unit_page
    from coachbook.workflows.teaching import load_syllabus

    read = load_syllabus(syllabus)
    found = read.unit(unit)
    if as_json:
        print_json(found)
    else:
        typer.echo("\n".join(unit_page(read, found)))


@app.command("check")
def check(
    folder: Annotated[
        Path | None, typer.Argument(metavar="FOLDER", help="The syllabus to check, if not the usual one.")
    ] = None,
    syllabus: SyllabusOption = None,
) -> None:
    """Check a syllabus: what its files lack, and what the tables say of its positions, a line a mistake.

    Checked by the tables are demonstrations, play-outs (goal and allowance) and the supply of exercises;
    what there is to say and to ask is for people to judge.
    """
    from coachbook.workflows.places import shipped_folder
    from coachbook.workflows.syllabus_claims import CHECKED, check_claims
    from coachbook.workflows.teaching import find_mistakes, load_syllabus

    chosen = folder or syllabus
    stop_if_any(find_mistakes(chosen))
    read = load_syllabus(chosen)
    with progress_bar() as progress:
        false = check_claims(read, chosen or shipped_folder("curricula"), progress)
    stop_if_any(false)
    typer.echo(f"{len(read.levels)} levels, {len(read.units)} units: {CHECKED}")

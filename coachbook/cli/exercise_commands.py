"""`coachbook exercise`: the kinds of exercise, and how many there are of each."""

from typing import TYPE_CHECKING, Annotated

import typer

from coachbook.cli.completing import units_known
from coachbook.cli.console import one_line, print_json, progress_bar, show_table
from coachbook.cli.options import BookOption, JsonOption, SyllabusOption, noun, positions_of

if TYPE_CHECKING:
    from coachbook.model.scale import ScaleCheck


app = noun("Kinds of exercise, and how many different ones there are.", "list count own difficulty")


@app.command("list")
def list_(as_json: JsonOption = False) -> None:
    """List the kinds of exercise that a syllabus may name. It says how hard they are, and what makes them
    harder."""
    from coachbook.exercises.difficulty import ANCHORS, REACHES
    from coachbook.exercises.kinds import find_kind

    if as_json:
        print_json(
            [
                {
                    "kind": name,
                    "asks": find_kind(name).title,
                    "easiest": reach.easiest,
                    "hardest": reach.hardest,
                    "harder_by": reach.harder,
                }
                for name, reach in REACHES.items()
            ]
        )
        return
    show_table(
        ("Kind", "What it asks", "Difficulty", "Harder by"),
        [
            (name, find_kind(name).title, f"{reach.easiest} to {reach.hardest}", reach.harder)
            for name, reach in REACHES.items()
        ],
    )
    typer.echo()
    typer.echo("Difficulty runs from 1 to 100, the same for all kinds:")
    for points, meaning in ANCHORS.items():
        typer.echo(f"  {points}  {meaning}")


@app.command("count")
def count(
    unit: Annotated[
        str | None,
        typer.Argument(metavar="[UNIT]", help="One unit's code; else all units.", autocompletion=units_known),
    ] = None,
    syllabus: SyllabusOption = None,
    as_json: JsonOption = False,
) -> None:
    """Count the exercises that the units can make.

    Positions that differ only by turning or mirroring the board count once. The last column says how many
    sheets of six they make, with all the unit's kinds.
    """
    from coachbook.workflows.standings import load_syllabus
    from coachbook.workflows.syllabus_truth import count_supply

    with progress_bar() as progress:
        counts = count_supply(load_syllabus(syllabus), unit, progress)
    if as_json:
        print_json(counts)
        return
    show_table(
        ("Unit", "Kind", "Positions", "Exercises", "Sheets"),
        [
            (
                each.unit,
                each.kind,
                f"{each.positions:,}",
                f"{'about ' if each.estimated else ''}{each.exercises:,}",
                f"{each.sheets:,}",
            )
            for each in counts
        ],
    )


@app.command("difficulty")
def difficulty(book: BookOption = None, as_json: JsonOption = False) -> None:
    """Compare the scale of difficulty with your students' answers. No names are shown.

    You see how many answers were right, in bands of twenty points. You also see where a kind's numbers look
    wrong by more than chance. No sheet and no number changes.
    """
    from coachbook.workflows.difficulty_check import check_difficulty
    from coachbook.workflows.members import open_club

    opened = open_club(book)
    with progress_bar() as progress:
        found = check_difficulty(opened, progress)
    if as_json:
        print_json(found)
    else:
        _show_scale(found)


def _show_scale(found: "ScaleCheck") -> None:
    from coachbook.wording.counting import counted
    from coachbook.wording.disagreements import (
        band_in_words,
        comparisons_in_words,
        disagreement_in_words,
    )

    if not found.bands:
        typer.echo("No answers are logged yet.")
        return
    show_table(
        ("Kind", "Difficulty", "Answers", "Right", "Likely (95%)"),
        [
            (
                band.kind,
                band_in_words(band),
                str(band.answers),
                f"{band.share:.0%}",
                f"{band.low:.0%} to {band.high:.0%}",
            )
            for band in found.bands
        ],
    )
    typer.echo()
    if found.left_blank:
        typer.echo(f"Not counted: {counted(found.left_blank, 'answer')} left blank.")
    typer.echo(comparisons_in_words(found))
    for each in found.disagreements:
        typer.echo(f"- {disagreement_in_words(each)}")
    if found.comparisons and not found.disagreements:
        typer.echo("The answers fit the scale: any difference may be chance.")
    if found.disagreements:
        typer.echo(
            "Take these as questions, not as results: one student's answers resemble each other, and students"
            " with harder items have practised longer."
        )


@app.command("own")
def own(
    source: Annotated[
        str,
        typer.Argument(metavar="FILE", help="A file of FEN, EPD or PGN; - for input; or a FEN in quotes."),
    ],
    as_json: JsonOption = False,
) -> None:
    """Look at your own positions. It says who wins, and which kinds of exercise each one suits."""
    from coachbook.wording.exercises import accepted_words
    from coachbook.workflows.own_positions import offered

    positions = positions_of(source)
    with progress_bar() as progress:
        found = offered(positions, progress)
    if as_json:
        print_json(
            [
                {
                    "where": position.where,
                    "position": position.board.fen() if position.board else position.text,
                    "fault": position.fault,
                    "kinds": {offer.kind: offer.reason or "yes" for offer in offers},
                }
                for position, offers in found
            ]
        )
        return
    for position, offers in found:
        typer.echo(one_line(f"{position.where}: {position.text}"))
        if position.fault:
            typer.echo(one_line(f"  cannot be used: {position.fault}"))
            continue
        if position.exchanged:
            typer.echo("  colours are swapped, so that White is the stronger side")
        for offer in offers:
            if offer.exercise is not None:
                answer = ", ".join(accepted_words(offer.exercise.answer)) or "-"
                typer.echo(f"  {offer.kind}: {answer} (difficulty {offer.exercise.difficulty})")
        for reason in dict.fromkeys(offer.reason for offer in offers if offer.exercise is None):
            typer.echo(
                f"  no {', '.join(offer.kind for offer in offers if offer.reason == reason)}: {reason}"
            )

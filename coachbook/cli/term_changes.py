"""`coachbook term`: planning the rest of a term anew, and editing it by hand."""

from collections.abc import Mapping
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from coachbook.cli.asking import PreviewOption, tell_how_to_take_back
from coachbook.cli.completing import units_known
from coachbook.cli.options import (
    AllGroupsOption,
    BookOption,
    GroupOption,
    GroupsOption,
    SyllabusOption,
    UnitArgument,
    coming_day,
    today,
)
from coachbook.cli.term_shown import SkipOption
from coachbook.wording.counting import shown_day

if TYPE_CHECKING:
    from coachbook.workflows.planning import ChangedPlans


EveningArgument = Annotated[
    date, typer.Argument(parser=coming_day, metavar="DATE", help="An evening of the term.")
]
FromOption = Annotated[
    date | None,
    typer.Option(
        "--from",
        parser=coming_day,
        metavar="DATE",
        help="Change evenings from this day on; today, if not given. Evenings already held stay.",
    ),
]


def replan(
    first: FromOption = None,
    skip: SkipOption = None,
    not_done: Annotated[
        list[str] | None,
        typer.Option(
            "--not-done",
            metavar="UNIT",
            help="A unit that was planned but not taught; may be given again.",
            autocompletion=units_known,
        ),
    ] = None,
    preview: PreviewOption = False,
    groups: GroupsOption = None,
    every: AllGroupsOption = False,
    book: BookOption = None,
    syllabus: SyllabusOption = None,
) -> None:
    """Replan the rest of a term, and say what changes. So a cancelled or slow evening is made up for."""
    from coachbook.workflows.members import chosen_groups, open_club
    from coachbook.workflows.replanning import replan_terms
    from coachbook.workflows.standings import load_syllabus

    read, opened, days = load_syllabus(syllabus), open_club(book), skip or []
    changed = replan_terms(
        opened,
        read,
        chosen_groups(opened, groups or (), every=every),
        today(first),
        today=today(None),
        cancel=[each.closure.first for each in days if each.is_one],
        closures=[each.closure for each in days if not each.is_one],
        not_done=not_done or (),
        preview=preview,
    )
    _tell(changed, read.titles, preview=preview)


def pin(
    unit: UnitArgument,
    on: EveningArgument,
    first: FromOption = None,
    preview: PreviewOption = False,
    group: GroupOption = None,
    book: BookOption = None,
    syllabus: SyllabusOption = None,
) -> None:
    """Let a unit begin on an evening, and plan the rest around it."""
    from coachbook.workflows.members import open_club
    from coachbook.workflows.replanning import pin_unit
    from coachbook.workflows.standings import load_syllabus

    opened, read = open_club(book), load_syllabus(syllabus)
    pinned = pin_unit(opened, read, group, unit, on, today(first), preview=preview)
    _tell(pinned, read.titles, preview=preview)


def unpin(
    unit: UnitArgument,
    first: FromOption = None,
    preview: PreviewOption = False,
    group: GroupOption = None,
    book: BookOption = None,
    syllabus: SyllabusOption = None,
) -> None:
    """Take the pin of a unit away, and replan the rest."""
    from coachbook.workflows.members import open_club
    from coachbook.workflows.replanning import unpin_unit
    from coachbook.workflows.standings import load_syllabus

    opened, read = open_club(book), load_syllabus(syllabus)
    unpinned = unpin_unit(opened, read, group, unit, today(first), preview=preview)
    _tell(unpinned, read.titles, preview=preview)


def lock(
    on: EveningArgument,
    preview: PreviewOption = False,
    group: GroupOption = None,
    book: BookOption = None,
    syllabus: SyllabusOption = None,
) -> None:
    """Keep an evening as it is, even when the term is replanned."""
    _lock(on, group, book, syllabus, locked=True, preview=preview)


def unlock(
    on: EveningArgument,
    preview: PreviewOption = False,
    group: GroupOption = None,
    book: BookOption = None,
    syllabus: SyllabusOption = None,
) -> None:
    """Let an evening change again when the term is replanned."""
    _lock(on, group, book, syllabus, locked=False, preview=preview)


def show_changes(changed: "ChangedPlans", titles: Mapping[str, str]) -> None:
    """Print what changes in the evenings of each group."""
    from coachbook.wording.plans import differences_in_words
    from coachbook.wording.term_lines import said_once

    told = ((each.planned.group, tuple(differences_in_words(each.changes, titles))) for each in changed.terms)
    for groups, lines in said_once(told):
        typer.echo(f"{groups}:" if lines else f"{groups}: nothing changes.")
        for line in lines:
            typer.echo(f"  {line}")


def _lock(
    on: date, group: str | None, book: Path | None, syllabus: Path | None, *, locked: bool, preview: bool
) -> None:
    from coachbook.workflows.members import open_club
    from coachbook.workflows.replanning import lock_session
    from coachbook.workflows.standings import load_syllabus

    opened, read = open_club(book), load_syllabus(syllabus)
    changed = lock_session(opened, read, group, on, locked=locked, preview=preview)
    what = "stays as it is" if locked else "may change"
    typer.echo(f"{changed.planned[0].group}: {shown_day(on)} {what}.")
    if preview:
        typer.echo("Nothing was kept.")
    else:
        tell_how_to_take_back(changed.entry)


def _tell(changed: "ChangedPlans", titles: Mapping[str, str], *, preview: bool) -> None:
    show_changes(changed, titles)
    if preview:
        typer.echo("Nothing was kept.")
    elif changed.replaces:
        tell_how_to_take_back(changed.entry)

"""`coachbook term`: planning the rest of a term anew, and editing it by hand."""

from datetime import date
from typing import TYPE_CHECKING, Annotated

import typer

from coachbook.cli.options import BookOption, GroupOption, SyllabusOption, today
from coachbook.cli.term_told import AllGroupsOption, Days, GroupsOption, read_days
from coachbook.model.dates import read_date

if TYPE_CHECKING:
    from coachbook.workflows.replanning import Replanned

UnitArgument = Annotated[str, typer.Argument(metavar="UNIT", help="A unit's code, such as queen-box.")]
EveningArgument = Annotated[
    date, typer.Argument(parser=read_date, metavar="DATE", help="An evening of the term.")
]
FromOption = Annotated[
    date | None,
    typer.Option(
        "--from",
        parser=read_date,
        metavar="DATE",
        help="What is before it stays, and what was held; today, if not told.",
    ),
]


def replan(
    first: FromOption = None,
    cancel: Annotated[
        list[Days] | None,
        typer.Option(
            "--cancel",
            "--skip",
            parser=read_days,
            metavar="DATE[..DATE]",
            help="An evening that falls out; may be given again.",
        ),
    ] = None,
    not_done: Annotated[
        list[str] | None,
        typer.Option("--not-done", metavar="UNIT", help="Was planned and not taught; may be given again."),
    ] = None,
    groups: GroupsOption = None,
    every: AllGroupsOption = False,
    book: BookOption = None,
    syllabus: SyllabusOption = None,
) -> None:
    """Plan the rest of a term anew after a cancelled or a slow evening, and say what changes."""
    from coachbook.workflows.groups import chosen_groups
    from coachbook.workflows.members import open_club
    from coachbook.workflows.replanning import replan_terms
    from coachbook.workflows.teaching import load_syllabus

    opened, days = open_club(book), cancel or []
    for changed in replan_terms(
        opened,
        load_syllabus(syllabus),
        chosen_groups(opened, groups or (), every=every),
        today(first),
        cancel=[each.closure.first for each in days if each.is_one],
        closures=[each.closure for each in days if not each.is_one],
        not_done=not_done or (),
    ):
        _show_changes(changed)


def pin(
    unit: UnitArgument,
    on: EveningArgument,
    first: FromOption = None,
    group: GroupOption = None,
    book: BookOption = None,
    syllabus: SyllabusOption = None,
) -> None:
    """Let a unit begin on an evening, and plan the rest around it."""
    from coachbook.workflows.members import open_club
    from coachbook.workflows.replanning import pin_unit
    from coachbook.workflows.teaching import load_syllabus

    _show_changes(pin_unit(open_club(book), load_syllabus(syllabus), group, unit, on, today(first)))


def unpin(
    unit: UnitArgument,
    first: FromOption = None,
    group: GroupOption = None,
    book: BookOption = None,
    syllabus: SyllabusOption = None,
) -> None:
    """Take the pin of a unit away, and plan the rest anew."""
    from coachbook.workflows.members import open_club
    from coachbook.workflows.replanning import unpin_unit
    from coachbook.workflows.teaching import load_syllabus

    _show_changes(unpin_unit(open_club(book), load_syllabus(syllabus), group, unit, today(first)))


def lock(on: EveningArgument, group: GroupOption = None, book: BookOption = None) -> None:
    """Keep an evening as it is, whenever the term is planned anew."""
    from coachbook.workflows.members import open_club
    from coachbook.workflows.replanning import lock_session

    typer.echo(f"{lock_session(open_club(book), group, on, locked=True)}: {on} stays as it is.")


def unlock(on: EveningArgument, group: GroupOption = None, book: BookOption = None) -> None:
    """Let an evening change again when the term is planned anew."""
    from coachbook.workflows.members import open_club
    from coachbook.workflows.replanning import lock_session

    typer.echo(f"{lock_session(open_club(book), group, on, locked=False)}: {on} may change.")


def _show_changes(changed: "Replanned") -> None:
    typer.echo(
        f"{changed.planned.group}:" if changed.changes else f"{changed.planned.group}: nothing changes."
    )
    for line in changed.changes:
        typer.echo(f"  {line}")

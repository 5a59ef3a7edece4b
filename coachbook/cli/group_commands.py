"""`coachbook group`: the teaching groups, and each at a glance."""

import shlex
from datetime import UTC, datetime
from itertools import groupby
from typing import TYPE_CHECKING, Annotated

import typer

from coachbook.cli.asking import YesOption, agrees, check_can_agree
from coachbook.cli.care_commands import tell_way_back
from coachbook.cli.completing import groups_known, students_known
from coachbook.cli.console import print_json, show_table
from coachbook.cli.hints import tell_next, tell_next_of_groups
from coachbook.cli.options import (
    BookOption,
    DateOption,
    GroupArgument,
    JsonOption,
    OnPaperOption,
    PaperOption,
    SyllabusOption,
    noun,
    paper_options,
    today,
)
from coachbook.model.conversation import Say
from coachbook.wording.counting import counted, shown_day

if TYPE_CHECKING:
    from coachbook.club.groups import Held
    from coachbook.model.printed import GroupOverview, TrendPoint


app = noun("The teaching groups of the club.", "add show list put take rename remove")

StudentsArgument = Annotated[
    list[str],
    typer.Argument(metavar="NAME...", help="One or more students' names.", autocompletion=students_known),
]


@app.command("add")
def add(
    name: Annotated[str, typer.Argument(metavar="NAME", help="The new group's name.")],
    book: BookOption = None,
) -> None:
    """Add a group."""
    from coachbook.workflows.members import add_teaching_group, open_club

    added = add_teaching_group(open_club(book), name).name
    typer.echo(f"Added: {added}")
    tell_next("student", "add", "NAME", "--group", added, book=book)


@app.command("list")
def list_(book: BookOption = None, as_json: JsonOption = False) -> None:
    """List the groups and how many students each has."""
    from coachbook.workflows.members import groups_of, open_club

    groups = groups_of(open_club(book))
    if as_json:
        print_json([{"name": group.name, "size": group.size} for group in groups])
    elif groups:
        show_table(("Group", "Students"), [(group.name, str(group.size)) for group in groups])
    else:
        typer.echo("There is no group yet. Add one with 'coachbook group add NAME'.")


@app.command("show")
def show(
    group: Annotated[
        str | None,
        typer.Argument(
            metavar="[GROUP]", help="The group's name, if there are several.", autocompletion=groups_known
        ),
    ] = None,
    every_unit: Annotated[
        bool, typer.Option("--every-unit", help="Also show units that nobody has begun.")
    ] = False,
    to: OnPaperOption = None,
    paper: PaperOption = None,
    on: DateOption = None,
    book: BookOption = None,
    syllabus: SyllabusOption = None,
    as_json: JsonOption = False,
) -> None:
    """Show where each student stands, and how the term went. It also lists the most frequent slips."""
    from coachbook.workflows.members import open_club
    from coachbook.workflows.reports import group_overview
    from coachbook.workflows.standings import load_syllabus

    opened = open_club(book)
    seen = group_overview(opened, load_syllabus(syllabus), group, today(on), every_unit=every_unit)
    if to is not None:
        from coachbook.workflows.reports import print_overview

        print_overview(opened, seen, to, paper_options(opened.settings, paper))
    if as_json:
        print_json(seen)
    else:
        show_overview(seen)
        if to is not None:
            typer.echo(f"Written: {to}")


@app.command("put")
def put(group: GroupArgument, students: StudentsArgument, book: BookOption = None) -> None:
    """Put students in a group."""
    from coachbook.workflows.members import open_club, put_members

    opened = open_club(book)
    members = put_members(opened, students, group)
    _show(members)
    tell_next_of_groups(opened, members[:1], today(None), book)


@app.command("take")
def take(group: GroupArgument, students: StudentsArgument, book: BookOption = None) -> None:
    """Take students out of a group. What they did stays in the book."""
    from coachbook.workflows.members import open_club, take_members

    _show(take_members(open_club(book), students, group))


@app.command("rename")
def rename(
    old: Annotated[str, typer.Argument(metavar="OLD", help="The name now.", autocompletion=groups_known)],
    new: Annotated[str, typer.Argument(metavar="NEW", help="The new name.")],
    book: BookOption = None,
) -> None:
    """Give a group another name. Its students, plans and papers stay with it."""
    from coachbook.workflows.members import open_club, rename_teaching_group

    known, name, is_planned = rename_teaching_group(open_club(book), old, new)
    typer.echo(f"Renamed: {known} is {name}.")
    typer.echo(f"To take it back: coachbook group rename {shlex.quote(name)} {shlex.quote(known)}")
    if is_planned and known != name:
        typer.echo(
            "Are its evenings in your calendar already? Delete them there, then export the term again"
            " with 'coachbook term export'. Otherwise each evening is there twice."
        )


@app.command("remove")
def remove(
    group: GroupArgument,
    yes: YesOption = False,
    book: BookOption = None,
) -> None:
    """Remove a group. Its students, and all that they did, stay in the book."""
    from coachbook.workflows.members import open_club, remove_teaching_group, what_hangs_on

    opened = open_club(book)
    held = what_hangs_on(opened, group)
    if not held.is_empty and not yes and not _agrees_to_remove(held):
        return
    before = remove_teaching_group(opened, held.group, datetime.now(UTC))
    stay = f" Still in the book: its {counted(len(held.students), 'student')}." if held.students else ""
    typer.echo(f"Removed: {held.group}.{stay}")
    if held.sharing_hall:
        typer.echo(
            f"{' and '.join(held.sharing_hall)} shared the coach with it: see 'coachbook term replan'."
        )
    if before is not None:
        tell_way_back(before)


def _agrees_to_remove(held: "Held") -> bool:
    check_can_agree("Removing")
    typer.echo(f"This removes the group {held.group}; a backup of the book is made first.")
    if held.students:
        nowhere = [student.name for student in held.students if student.groups == (held.group,)]
        told = f" Then in no group: {', '.join(nowhere)}." if nowhere else ""
        names = ", ".join(student.name for student in held.students)
        typer.echo(f"  Its students stay in the book, with all their work: {names}.{told}")
    for plan in held.plans:
        typer.echo(
            f"  The term plan from {shown_day(plan.starts_on)} to {shown_day(plan.ends_on)} goes, too."
        )
    if held.ready:
        evenings = counted(held.ready, "evening")
        typer.echo(
            f"  The list of papers prepared for {evenings} goes, too; the sheets stay, under their codes."
        )
    return agrees(Say.REMOVE, "Nothing was removed.")


def _show(members: tuple[str, tuple[str, ...]]) -> None:
    group, names = members
    typer.echo(f"{group} ({len(names)}): {', '.join(names) or 'nobody'}")


_LETTERS = {"new": ".", "working": "W", "secure": "S", "fading": "F"}
"""By standing."""
_BAR = 20


def show_overview(seen: "GroupOverview") -> None:
    """Print it: units are numbered by level (2.1 is the first unit of level 2 that is shown)."""
    typer.echo(f"{seen.group}, {shown_day(seen.on)}: {len(seen.rows)} students")
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
    if seen.missed:
        typer.echo()
        typer.echo("Missed these lessons, and still have to catch up:")
        for name, titles in seen.missed:
            typer.echo(f"  {name}: {titles}")
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
                (shown_day(each.on), f"{each.right} of {each.tried}", _bar(each), str(each.secure))
                for each in seen.trend
            ],
        )


def _numbers(seen: "GroupOverview") -> list[str]:
    return [
        f"{level}.{number}"
        for level, units in groupby(seen.units, key=lambda unit: unit.level)
        for number, _ in enumerate(units, start=1)
    ]


def _bar(point: "TrendPoint") -> str:
    return "#" * round(_BAR * point.right / point.tried) if point.tried else ""

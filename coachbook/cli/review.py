"""`coachbook review`: who needs review."""

import typer

from coachbook.cli.console import show_table
from coachbook.cli.options import BookOption, DateOption, GroupOption, JsonOption, SyllabusOption, today
from coachbook.cli.reports import print_json


def review(
    group: GroupOption = None,
    on: DateOption = None,
    book: BookOption = None,
    syllabus: SyllabusOption = None,
    as_json: JsonOption = False,
) -> None:
    """Say who needs review, most urgent first, and why."""
    from coachbook.workflows.members import open_club
    from coachbook.workflows.reviewing import who_needs_review
    from coachbook.workflows.teaching import load_syllabus

    advice = who_needs_review(open_club(book), load_syllabus(syllabus), group, today(on))
    if as_json:
        print_json(advice)
    elif advice:
        show_table(
            ("Student", "Due", "Why"), [(each.student, str(each.due_on), each.reason) for each in advice]
        )
    else:
        typer.echo("Nobody needs review.")

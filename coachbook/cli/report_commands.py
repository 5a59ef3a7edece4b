"""`coachbook review` and `coachbook report`: who needs review; pages for families and the committee."""

from dataclasses import asdict
from datetime import date
from secrets import randbelow
from typing import TYPE_CHECKING, Annotated

import typer

from coachbook.cli.console import one_line, print_json, show_table
from coachbook.cli.options import (
    BookOption,
    ComingDateOption,
    DateOption,
    FirstDayOption,
    FolderOption,
    GroupOption,
    JsonOption,
    LastDayOption,
    NameArgument,
    PageOption,
    PaperOption,
    SeedOption,
    SyllabusOption,
    noun,
    paper_options,
    read_number,
    today,
)
from coachbook.wording.counting import shown_day

if TYPE_CHECKING:
    from coachbook.model.progress import ReviewAdvice
    from coachbook.workflows.standings import Reviews


_SEEDS = 1_000_000


def review(
    group: GroupOption = None,
    on: ComingDateOption = None,
    papers: Annotated[
        bool, typer.Option("--print", help="Make the sheets and cards for exactly this review.")
    ] = False,
    seed: SeedOption = None,
    to: FolderOption = None,
    paper: PaperOption = None,
    book: BookOption = None,
    syllabus: SyllabusOption = None,
    as_json: JsonOption = False,
) -> None:
    """Say who needs review by the next evening, and why. The most urgent come first, with what to give."""
    from coachbook.workflows.members import open_club
    from coachbook.workflows.standings import load_syllabus, reviews_due

    opened, read, day = open_club(book), load_syllabus(syllabus), today(on)
    found = reviews_due(opened, read, group, day)
    advice = found.advice
    if as_json:
        print_json([_as_json(each, found.due_by) for each in advice])
    else:
        show_reviews(found)
    if papers and advice:
        from coachbook.workflows.review_papers import make_review

        chosen = randbelow(_SEEDS) if seed is None else seed
        options, folder = paper_options(opened.settings, paper), to or opened.settings.papers
        made = make_review(opened, read, advice, day, chosen, folder, options)
        for file in made.files:
            typer.echo(one_line(f"Written: {file}"), err=as_json)
        for name in made.short:
            typer.echo(f"No fresh positions are left for {name}.", err=as_json)


def show_reviews(found: "Reviews") -> None:
    """A line for each who needs review, the most urgent first, with what to give."""
    from coachbook.wording.people import advice_in_words

    by = f"by {shown_day(found.due_by)}, the next evening" if found.is_planned else ""
    if not found.advice:
        typer.echo(f"Nobody needs review{by and ' '}{by}.")
        return
    if by:
        typer.echo(f"Due {by}:")
    show_table(
        ("Student", "Due", "Why", "Give", "Sure"),
        [
            (each.student, shown_day(each.due_on), advice_in_words(each), _give(each), _sure(each))
            for each in found.advice
        ],
    )


def _as_json(advice: "ReviewAdvice", due_by: date) -> dict[str, object]:
    """As other programs read it: with the reason in words."""
    from coachbook.wording.people import advice_in_words

    told = {**asdict(advice), "last": advice_in_words(advice), "due_by": due_by}
    return {"reason" if key == "last" else key: told[key] for key in told if key != "days_ago"}


def _give(advice: "ReviewAdvice") -> str:
    return advice.play_out or f"{advice.items} items"


def _sure(advice: "ReviewAdvice") -> str:
    return "yes" if advice.is_sure else "little evidence"


app = noun("Reports for families and the committee.", "family certificate term")


@app.command("family")
def family(
    name: NameArgument,
    to: PageOption = None,
    on: DateOption = None,
    paper: PaperOption = None,
    book: BookOption = None,
    syllabus: SyllabusOption = None,
    as_json: JsonOption = False,
) -> None:
    """Write one page for a student's family. It says what can be done now, what comes next, what to play at
    home."""
    from coachbook.workflows.members import open_club
    from coachbook.workflows.reports import family_report, print_family_report
    from coachbook.workflows.standings import load_syllabus

    opened = open_club(book)
    report = family_report(opened, load_syllabus(syllabus), name, today(on))
    if as_json:
        print_json(report)
        return
    options = paper_options(opened.settings, paper)
    typer.echo(f"Written: {print_family_report(opened, report, to, options)}")


@app.command("certificate")
def certificate(
    name: NameArgument,
    level: Annotated[int, typer.Option("--level", parser=read_number, metavar="N", help="Its number.")],
    to: PageOption = None,
    on: DateOption = None,
    paper: PaperOption = None,
    book: BookOption = None,
    syllabus: SyllabusOption = None,
) -> None:
    """Write a certificate for a level. Every unit of it must have been secure once; the day on which each was
    earned stands beside it."""
    from coachbook.workflows.certificates import certificate as certificate_for
    from coachbook.workflows.certificates import level_of_student, print_certificate
    from coachbook.workflows.members import open_club
    from coachbook.workflows.standings import load_syllabus

    opened, read = open_club(book), load_syllabus(syllabus)
    level_earned = level_of_student(opened, read, name, level, today(on))
    earned = certificate_for(opened, read, level_earned)
    typer.echo(f"Written: {print_certificate(opened, earned, to, paper_options(opened.settings, paper))}")
    rows = [
        (unit.title, shown_day(unit.on) if unit.on else "", "to be brought back" if unit.is_due else "")
        for unit in level_earned.units
    ]
    show_table(("Unit", "Earned", "Now"), rows)


@app.command("term")
def term(
    starts_on: FirstDayOption,
    ends_on: LastDayOption,
    to: PageOption = None,
    paper: PaperOption = None,
    book: BookOption = None,
    syllabus: SyllabusOption = None,
    as_json: JsonOption = False,
) -> None:
    """Write the term in numbers for the committee: no names."""
    from coachbook.workflows.members import open_club
    from coachbook.workflows.reports import print_term_summary, term_summary
    from coachbook.workflows.standings import load_syllabus

    opened = open_club(book)
    summary = term_summary(opened, load_syllabus(syllabus), starts_on, ends_on)
    if as_json:
        print_json(summary)
        return
    options = paper_options(opened.settings, paper)
    typer.echo(f"Written: {print_term_summary(opened, summary, to, options)}")

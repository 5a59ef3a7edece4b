"""`coachbook report`: pages for families and the committee."""

from datetime import date
from pathlib import Path
from typing import Annotated

import typer

from coachbook.cli.options import (
    BookOption,
    DateOption,
    JsonOption,
    PaperOption,
    SyllabusOption,
    noun,
    read_number,
    today,
)
from coachbook.cli.reports import print_json
from coachbook.model.dates import read_date
from coachbook.paper.options import PaperOptions, PaperSize

app = noun("Reports for families and the committee.")

_NameArgument = Annotated[str, typer.Argument(metavar="NAME", help="The student's name.")]
_FileOption = Annotated[
    Path | None, typer.Option("--pdf", metavar="FILE", help="The file to write, if not one named after it.")
]


@app.command("family")
def family(
    name: _NameArgument,
    pdf: _FileOption = None,
    on: DateOption = None,
    paper: PaperOption = PaperSize.A4,
    book: BookOption = None,
    syllabus: SyllabusOption = None,
    as_json: JsonOption = False,
) -> None:
    """Write one page for a student's family: what can be done now, what comes next, what to play at home."""
    from coachbook.paper.family_report import write_family_report
    from coachbook.workflows.file_names import file_name_of
    from coachbook.workflows.members import open_club
    from coachbook.workflows.reports import family_report
    from coachbook.workflows.teaching import load_syllabus

    opened = open_club(book)
    report = family_report(opened, load_syllabus(syllabus), name, today(on))
    if as_json:
        print_json(report)
        return
    path = pdf or Path(f"family-{file_name_of(opened, report.student)}.pdf")
    write_family_report(report, path, PaperOptions(paper))
    typer.echo(f"Written: {path}")


@app.command("certificate")
def certificate(
    name: _NameArgument,
    level: Annotated[int, typer.Option("--level", parser=read_number, metavar="N", help="Its number.")],
    pdf: _FileOption = None,
    on: DateOption = None,
    paper: PaperOption = PaperSize.A4,
    book: BookOption = None,
    syllabus: SyllabusOption = None,
) -> None:
    """Write a certificate for a level of which every unit is secure."""
    from coachbook.paper.certificate import write_certificate
    from coachbook.workflows.file_names import file_name_of
    from coachbook.workflows.members import open_club
    from coachbook.workflows.reports import certificate as certificate_for
    from coachbook.workflows.teaching import load_syllabus

    opened = open_club(book)
    earned = certificate_for(opened, load_syllabus(syllabus), name, level, today(on))
    path = pdf or Path(f"certificate-{level}-{file_name_of(opened, earned.student)}.pdf")
    write_certificate(earned, path, PaperOptions(paper))
    typer.echo(f"Written: {path}")


@app.command("term")
def term(
    starts_on: Annotated[date, typer.Option("--from", parser=read_date, metavar="DATE", help="First day.")],
    ends_on: Annotated[date, typer.Option("--to", parser=read_date, metavar="DATE", help="Last day.")],
    pdf: _FileOption = None,
    paper: PaperOption = PaperSize.A4,
    book: BookOption = None,
    syllabus: SyllabusOption = None,
    as_json: JsonOption = False,
) -> None:
    """Write the term in numbers for the committee: no names."""
    from coachbook.paper.term_summary import write_term_summary
    from coachbook.workflows.members import open_club
    from coachbook.workflows.reports import term_summary
    from coachbook.workflows.teaching import load_syllabus

    summary = term_summary(open_club(book), load_syllabus(syllabus), starts_on, ends_on)
    if as_json:
        print_json(summary)
        return
    path = pdf or Path(f"term-{starts_on}-{ends_on}.pdf")
    write_term_summary(summary, path, PaperOptions(paper))
    typer.echo(f"Written: {path}")

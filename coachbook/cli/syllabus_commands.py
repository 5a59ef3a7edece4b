"""`coachbook syllabus`, `lesson`, `poster` and `card`: the syllabus, and the papers of its units."""

import textwrap
from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import Annotated

import typer

from coachbook.cli.console import (
    board_lines,
    one_line,
    print_json,
    problems_as_json,
    progress_bar,
    show_table,
    stop_if_any,
)
from coachbook.cli.hints import in_words
from coachbook.cli.options import (
    BookOption,
    ComingDateOption,
    FolderOption,
    GroupOption,
    JsonOption,
    LettersOption,
    MethodArgument,
    NotationOption,
    PaperOption,
    StudentOption,
    SyllabusOption,
    UnitArgument,
    noun,
    paper_options,
    today,
)
from coachbook.model.syllabus import Syllabus, Unit

lesson_app = noun("Lesson plans.", "make")


@lesson_app.command("make")
def make_lesson(
    unit: UnitArgument,
    group: GroupOption = None,
    to: FolderOption = None,
    paper: PaperOption = None,
    notation: NotationOption = None,
    letters: LettersOption = None,
    on: ComingDateOption = None,
    book: BookOption = None,
    syllabus: SyllabusOption = None,
) -> None:
    """Print the lesson plan of a unit. It has what to say, show and ask, the rules, and the proof."""
    from coachbook.workflows.members import open_club
    from coachbook.workflows.standings import load_syllabus
    from coachbook.workflows.unit_papers import make_lesson

    opened, read = open_club(book), load_syllabus(syllabus)
    options, folder = paper_options(opened.settings, paper, notation, letters), to or opened.settings.papers
    path = make_lesson(opened, read, read.unit(unit), group, today(on), folder, options)
    typer.echo(f"Written: {path}")


poster_app = noun("Posters of the methods, for the wall.", "make")


@poster_app.command("make")
def make_poster(
    method: MethodArgument,
    to: FolderOption = None,
    paper: PaperOption = None,
    notation: NotationOption = None,
    letters: LettersOption = None,
    book: BookOption = None,
    syllabus: SyllabusOption = None,
) -> None:
    """Print the poster of a method. Its rules are on one page, with two boards and the proof; then comes a
    large board for each rule."""
    from coachbook.workflows.club_settings import settings_of_club
    from coachbook.workflows.posters import make_poster
    from coachbook.workflows.standings import load_syllabus

    club = settings_of_club(book)  # A poster needs no book, but for the club's own ways.
    options, folder = paper_options(club, paper, notation, letters), to or club.papers
    typer.echo(f"Written: {make_poster(load_syllabus(syllabus), method, folder, options)}")


card_app = noun("Play-out cards: positions to play out at the board.", "make")


@card_app.command("make")
def make_cards(
    unit: UnitArgument,
    group: GroupOption = None,
    student: StudentOption = None,
    two: Annotated[
        bool, typer.Option("--two", help="For two neighbours: the tasks of both, and how to count points.")
    ] = False,
    to: FolderOption = None,
    paper: PaperOption = None,
    book: BookOption = None,
    syllabus: SyllabusOption = None,
) -> None:
    """Print a unit's play-out cards. They are for a group, for a student, or with a blank line for
    the name."""
    from coachbook.wording.counting import counted
    from coachbook.workflows.members import open_club
    from coachbook.workflows.printed_sheets import students_asked_for
    from coachbook.workflows.standings import load_syllabus
    from coachbook.workflows.unit_papers import make_cards

    read, opened = load_syllabus(syllabus), open_club(book)
    named = group is not None or student is not None
    students = students_asked_for(opened, group, student) if named else ()
    chosen, options = read.unit(unit), paper_options(opened.settings, paper)
    folder = to or opened.settings.papers
    path, number = make_cards(opened, read, chosen, students, folder, options, for_two=two)
    typer.echo(f"Written: {path}")
    shared = two or len(students) < 2
    each = "" if shared else f", {number // len(students)} for each of {len(students)} students"
    typer.echo(f"In it: {counted(number, 'card')}{each}.")


app = noun("The graded syllabus: its levels and units.", "list show check themes claims")


@app.command("themes")
def themes(as_json: JsonOption = False) -> None:
    """List the themes of a level file. They say which positions belong to a unit."""
    from coachbook.model.known_themes import THEMES

    if as_json:
        print_json(
            [
                {"name": each.name, "value": each.expected, "meaning": each.meaning, "example": each.example}
                for each in THEMES
            ]
        )
        return
    rows = [(f"{each.name} = {each.example}", each.expected, each.meaning) for each in THEMES]
    show_table(("Example", "Value", "Meaning"), rows)


@app.command("claims")
def claims(as_json: JsonOption = False) -> None:
    """List what a demonstration may claim in braces. Claims are checked on the board, and printed
    in words."""
    from coachbook.model.shown_claims import CLAIM_FORMS

    if as_json:
        print_json([{"claim": form.written, "means": form.means} for form in CLAIM_FORMS])
        return
    show_table(("Claim", "What is checked"), [(f"{{{form.written}}}", form.means) for form in CLAIM_FORMS])
    typer.echo("")
    typer.echo("N is a number, MOVE a move such as Qd5, MAN a word such as queen, SQUARES such as f7 g7.")


@app.command("list")
def list_(syllabus: SyllabusOption = None, as_json: JsonOption = False) -> None:
    """List the units, level by level."""
    from coachbook.workflows.standings import load_syllabus

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
        typer.echo(f"{level.title} (level {level.number})")
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
    unit: UnitArgument,
    syllabus: SyllabusOption = None,
    as_json: JsonOption = False,
) -> None:
    """Show a unit: what to say, what to ask, what to watch for."""
    from coachbook.workflows.standings import load_syllabus

    read = load_syllabus(syllabus)
    found = read.unit(unit)
    if as_json:
        print_json(found)
    else:
        typer.echo("\n".join(unit_page(read, found)))


@app.command("check")
def check(
    folder: Annotated[
        Path | None, typer.Argument(metavar="[FOLDER]", help="The syllabus to check, if not the usual one.")
    ] = None,
    syllabus: SyllabusOption = None,
    as_json: JsonOption = False,
) -> None:
    """Check a syllabus. Each mistake is one line.

    The tables check demonstrations, play-outs (goal and allowance) and the supply of exercises. What to say
    and to ask is for people to judge. Units with five men are only checked once their ending was built.
    """
    from coachbook.files.reading import shipped_folder
    from coachbook.wording.counting import counted
    from coachbook.workflows.standings import find_mistakes, load_syllabus
    from coachbook.workflows.syllabus_truth import CHECKED, check_claims, not_checked

    chosen = folder or syllabus
    found = find_mistakes(chosen)
    if not found:
        read = load_syllabus(chosen)
        with progress_bar() as progress:
            found = check_claims(read, chosen or shipped_folder("curricula"), progress)
    if as_json:
        print_json(problems_as_json(found))
    stop_if_any(found)
    if not as_json:
        typer.echo(f"{len(read.levels)} levels, {len(read.units)} units: {CHECKED}")
        for why, units in not_checked(read):
            told = f"But the positions of {counted(units, 'unit')} were not checked. {why.told(in_words)}"
            typer.echo(one_line(told))


_WIDTH = 78


def unit_page(syllabus: Syllabus, unit: Unit) -> Iterator[str]:
    """The lines of the page."""
    from coachbook.wording.people import play_out_task, secure_in_words

    yield unit.title
    title = syllabus.level_of(unit).title
    yield f"{title} (level {unit.level}). Unit {unit.code}, {unit.minutes} minutes."
    yield ""
    yield from _wrapped(unit.aim, "  ")
    yield from _section("Comes after", [syllabus.unit(code).title for code in unit.prerequisites])
    yield from _shows(unit)
    yield from _section("Say", unit.say, numbered=True)
    yield from _questions(unit)
    yield from _section("Watch for", unit.slips)
    kinds = [f"{use.kind.replace('_', ' ')}, difficulty {use.easiest} to {use.hardest}" for use in unit.kinds]
    yield from _section("Worksheets", kinds)
    yield from _section("For those who are done early", unit.ahead)
    yield from _section("For those who can't follow yet", unit.behind)
    yield from _section("Play out", [f"{play.fen}, {play_out_task(play)}" for play in unit.play_outs])
    yield from _section("Secure after", [secure_in_words(unit.secure)])


def _shows(unit: Unit) -> Iterator[str]:
    from coachbook.workflows.unit_papers import shown_lines

    for line in shown_lines(unit):
        yield from ("", f"Show on the board: {line.task}")
        yield from board_lines(line.start)
        yield f"  {line.start.fen}"
        for step in line.steps:
            yield from _wrapped(step.words, f"  {step.number} {step.san}  ")
        if line.ends:
            yield f"  At the end: {line.ends}."
    if unit.method:
        yield f"  Method: {unit.method}"


def _questions(unit: Unit) -> Iterator[str]:
    yield from ("", "Ask")
    for question in unit.questions:
        yield from _wrapped(question.ask, "  - ")
        yield from _wrapped(question.expect, "      ")


def _section(heading: str, texts: Sequence[str], *, numbered: bool = False) -> Iterator[str]:
    if texts:
        yield from ("", heading)
    for number, text in enumerate(texts, start=1):
        yield from _wrapped(text, f"  {number}. " if numbered else "  - ")


def _wrapped(text: str, start: str) -> list[str]:
    return textwrap.wrap(
        text, _WIDTH, initial_indent=start, subsequent_indent=" " * len(start), break_on_hyphens=False
    )

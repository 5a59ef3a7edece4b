"""`coachbook evening close`: walks the coach through an evening that is over. Each step is kept at once."""

from datetime import UTC, date, datetime
from typing import TYPE_CHECKING, Annotated

import typer

from coachbook.cli.evening import GroupsOption
from coachbook.cli.options import BookOption, SyllabusOption, read_date, today
from coachbook.errors import CoachbookError, InterruptedEntryError

if TYPE_CHECKING:
    from coachbook.club.book import Book
    from coachbook.model.syllabus import Syllabus
    from coachbook.workflows.closing import NextWeek, ToClose


def close(
    day: Annotated[
        date | None,
        typer.Argument(metavar="[DATE]", parser=read_date, help="The evening, if not tonight."),
    ] = None,
    group: GroupsOption = None,
    ticks: Annotated[
        bool, typer.Option("--ticks", help="Type only 1 (right), 0 (wrong) or - (not tried) for each item.")
    ] = False,
    book: BookOption = None,
    syllabus: SyllabusOption = None,
) -> None:
    """Log an evening step by step: attendance, answers, play-outs, notes; and see what moves to the next."""
    from coachbook.workflows.closing import groups_to_close, move_on, to_close
    from coachbook.workflows.members import open_club
    from coachbook.workflows.teaching import load_syllabus

    opened, read, on = open_club(book), load_syllabus(syllabus), today(day)
    try:
        for name in groups_to_close(opened, on, group or []):
            _attendance(opened, to_close(opened, read, name, on))
            _answers(opened, to_close(opened, read, name, on), ticks=ticks)
            _play_outs(opened, read, to_close(opened, read, name, on))
            _notes(opened, read, to_close(opened, read, name, on))
            not_done = _not_done(to_close(opened, read, name, on))
            _show(name, move_on(opened, read, name, on, not_done))
    except InterruptedEntryError as error:
        raise InterruptedEntryError(
            error.message, "What was kept so far stays. To go on, close the evening again."
        ) from error


def _attendance(book: "Book", left: "ToClose") -> None:
    from coachbook.cli.entry import type_absences
    from coachbook.workflows.evening import keep_attendance

    if left.present is not None:
        typer.echo(f"{left.group} on {left.on}: attendance is logged.")
        return
    told = type_absences(left.group, left.students, left.on)
    if told:
        typer.echo(f"Kept: {keep_attendance(book, told, left.on, datetime.now(UTC)).what}.")
    typer.echo()


def _answers(book: "Book", left: "ToClose", *, ticks: bool) -> None:
    from coachbook.cli.entry_answers import type_answers
    from coachbook.workflows.evening import keep_answers

    if not left.sheets:
        typer.echo("Every sheet is logged.")
        return
    typed = type_answers(left.sheets, left.on, book.letters, ticks=ticks)
    if typed:
        typer.echo(f"Kept: {keep_answers(book, typed, datetime.now(UTC)).what}.")
    typer.echo()


def _play_outs(book: "Book", syllabus: "Syllabus", left: "ToClose") -> None:
    """One line for each: the number of a card that was given, and how it went."""
    from coachbook.cli.entry import ask

    if not left.cards:
        return
    typer.echo("Play-outs. Type a number and how it went (3 mated in 14; 3 stalemate; 3 and the moves).")
    for number, (name, card) in enumerate(left.cards, start=1):
        typer.echo(f"  {number:>2}  {name}: {card}")
    kept: set[str] = set()
    while line := ask("Play-out (nothing: go on): ").strip():
        try:
            typer.echo(f"  Kept: {_keep_play_out(book, syllabus, left, line, kept)}.")
        except CoachbookError as error:
            typer.echo(f"  {error}")
    typer.echo()


def _keep_play_out(book: "Book", syllabus: "Syllabus", left: "ToClose", line: str, kept: set[str]) -> str:
    """Adds the number to those that are kept."""
    from coachbook.workflows.playing import judge, keep_play_out, start_of

    number, _, told = line.partition(" ")
    cards = {str(each): card for each, card in enumerate(left.cards, start=1)}
    if number not in cards or not told.strip():
        raise CoachbookError(
            f"'{line}' is not a number of the list and how it went.", "Such as: 1 mated in 14."
        )
    if number in kept:
        raise CoachbookError(
            f"Play-out {number} is kept.",
            "If it was wrong, take it back after closing with 'coachbook log undo'; a second game of the"
            " same card goes in with 'coachbook log playout'.",
        )
    name, card = cards[number]
    start = start_of(syllabus, card, None, None)
    judged = judge(book, start, told)
    result, _ = keep_play_out(book, name, start, told, judged, left.on, datetime.now(UTC))
    kept.add(number)
    first = judged.first_slip if judged is not None else None
    slip = f"; first slip {first.number}. {first.san}: {first.told}" if first is not None else ""
    return f"{name}: {result.in_words}{slip}"


def _notes(book: "Book", syllabus: "Syllabus", left: "ToClose") -> None:
    from coachbook.cli.entry import ask

    typer.echo("Notes. Type name, unit: what you saw (Noor, 1: explained it to a neighbour).")
    typer.echo(
        "A + after the unit says that the student can do it, a - that there is trouble (Noor, 1+: ...)."
    )
    for number, (code, title) in enumerate(left.units, start=1):
        typer.echo(f"  {number:>2}  {title} ({code})")
    while line := ask("Note (nothing: go on): ").strip():
        try:
            typer.echo(f"  Kept: {_keep_note(book, syllabus, left, line)}.")
        except CoachbookError as error:
            typer.echo(f"  {error}")
    typer.echo()


def _keep_note(book: "Book", syllabus: "Syllabus", left: "ToClose", line: str) -> str:
    from coachbook.model.club import Impression, Observation
    from coachbook.workflows.playing import keep_observation

    impressions = {"+": Impression.CAN, "-": Impression.TROUBLE}

    who, colon, words = line.partition(":")
    name, comma, unit = who.rpartition(",")
    if not colon or not comma:
        raise CoachbookError(f"'{line}' is not a note.", "Such as: Noor, 1: explained it.")
    numbered = {str(number): code for number, (code, _) in enumerate(left.units, start=1)}
    impression = impressions.get(unit.strip()[-1:], Impression.NONE)
    which = unit.strip().removesuffix("+").removesuffix("-").strip()
    code = syllabus.unit(numbered.get(which, which)).code
    seen = Observation(name.strip(), code, left.on, words, impression)
    what = keep_observation(book, seen, datetime.now(UTC)).what
    return f"{what}: {impression}" if impression else what


def _not_done(left: "ToClose") -> tuple[str, ...]:
    """The units that are to be planned again."""
    from coachbook.cli.entry import ask
    from coachbook.workflows.entry import picked

    if not left.units:
        return ()
    typer.echo("What was not finished, and is to be planned again?")
    for number, (_, title) in enumerate(left.units, start=1):
        typer.echo(f"  {number:>2}  {title}")
    codes = {title: code for code, title in left.units}
    while True:
        line = ask("Not finished (numbers; nothing: all was done): ")
        try:
            chosen = picked(tuple(codes), line, "unit")
        except CoachbookError as error:
            typer.echo(f"  {error}")
        else:
            return tuple(codes[title] for title in chosen)


def _show(group: str, moves: "NextWeek") -> None:
    typer.echo()
    when = f"next on {moves.on}" if moves.on else "the last evening of the plan"
    typer.echo(f"{group}: closed; {when}.")
    for change in moves.changes:
        typer.echo(f"  {change}")
    if moves.absent and moves.missed:
        typer.echo(f"  To catch up: {', '.join(moves.absent)} missed {', '.join(moves.missed)}.")
    for name, code in moves.open_sheets:
        typer.echo(f"  Not logged: sheet {code} of {name}.")
    for each in moves.advice:
        typer.echo(f"  To bring back: {each.student}, {each.reason}")

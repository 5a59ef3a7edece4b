"""The steps of `coachbook evening close` that take one line for each thing: play-outs and notes."""

from collections.abc import Callable, Sequence
from datetime import UTC, datetime

import typer

from coachbook.cli.entry import ask, show_numbered
from coachbook.cli.play_told import told_moves
from coachbook.club.book import Book
from coachbook.club.names import name_key
from coachbook.errors import CoachbookError
from coachbook.exercises.play_out_told import ENDS
from coachbook.model.syllabus import Syllabus
from coachbook.workflows.closing import ToClose, quoted
from coachbook.workflows.closing_lines import (
    TypedPlayOut,
    example_note,
    example_play_out,
    example_student,
    read_note,
    read_play_out,
)
from coachbook.workflows.playing import judge, keep_observation, keep_play_out, start_of

_PLAY_OUTS_HELP = f"""\
  How it went: {ENDS}; or a number alone, that of the moves in which the goal was reached.
  Or all the moves, from the position on the card: 1. Qc5 Kd3 2. Qe5 ... Then coachbook judges them.
  Whose it was: the number in the list (1: stalemate), or a name and the code on the card."""
_NOTES_HELP = """\
  Who, of which unit, and what you saw, with a colon between. Notes help you; only + or - counts as seen."""


def type_play_outs(book: Book, syllabus: Syllabus, left: ToClose) -> None:
    """One line for each: the number of a card that was given, or a name and any card, and how it went.

    Left out if no card was given and nothing that was planned can be played out. Raises
    InterruptedEntryError.
    """
    if not left.cards and not left.playable:
        return
    if left.cards:
        typer.echo("Play-outs. Type a number and how it went (1 mated in 14; 1 stalemate; 1 and the moves).")
        show_numbered([f"{name}: {card}" for name, card in left.cards])
        code = left.cards[0][1]
        typer.echo(f"Of another card: name, code and how it went ({example_student(left)} {code} stalemate).")
    else:
        typer.echo(f"Play-outs. Type name, card and how it went, or the moves ({example_play_out(left)}).")
    kept: set[int] = set()
    _each_line(
        "Play-out (nothing: go on; ?: help): ",
        lambda line: _keep_play_out(book, syllabus, left, line, kept),
        _PLAY_OUTS_HELP,
    )


def type_notes(book: Book, syllabus: Syllabus, left: ToClose) -> None:
    """One line for each note: who, of which unit if there are several, and what the coach saw.

    Raises InterruptedEntryError.
    """
    one = len(left.units) == 1
    about, form = (f" on {quoted(left.units[0][1])}", "") if one else ("", " the unit,")
    typer.echo(
        f"Notes{about}. Type a name or number,{form} a colon, and what you saw ({example_note(left)})."
    )
    signed = f"{example_student(left)} +" if one else f"{example_student(left)}, 1+"
    typer.echo(f"With + before the colon ({signed}: ...) it says: can do it; with -: has trouble.")
    show_numbered(left.students)
    if not one and left.units:
        typer.echo("Units:")
        show_numbered([f"{title} ({code})" for code, title in left.units])
    _each_line(
        "Note (nothing: go on; ?: help): ", lambda line: _keep_note(book, syllabus, left, line), _NOTES_HELP
    )


def _each_line(question: str, keep: Callable[[str], Sequence[str]], help_: str) -> None:
    """Asks until nothing is typed; `keep` says what it kept of a line, and then more about it, or raises
    CoachbookError."""
    while line := ask(question).strip():
        if line == "?":
            typer.echo(help_)
            continue
        try:
            what, *more = keep(line)
        except CoachbookError as error:
            typer.echo(f"  {error}")
        else:
            typer.echo("\n".join([f"  Kept: {what}.", *(f"    {told}" for told in more)]))
    typer.echo()


def _keep_play_out(
    book: Book, syllabus: Syllabus, left: ToClose, line: str, kept: set[int]
) -> tuple[str, ...]:
    """Adds the number to those that are kept."""
    typed = read_play_out(left, line)
    if typed.number in kept:
        raise CoachbookError(
            f"Play-out {typed.number} is kept.",
            "If it was wrong, take it back after closing with 'coachbook log undo'; a second game of the"
            f" same card goes in with its code: {typed.student} {typed.card} {typed.told}.",
        )
    start = start_of(syllabus, typed.card, None, None)
    judged = judge(book, start, typed.told)
    now = datetime.now(UTC)
    result, _ = keep_play_out(book, typed.student, start, typed.told, judged, left.on, now)
    kept |= _numbers(left, TypedPlayOut(result.student, result.card, typed.told))
    return f"{result.student}: {result.in_words}", *(told_moves(judged) if judged is not None else ())


def _numbers(left: ToClose, played: TypedPlayOut) -> set[int]:
    """The numbers in the list that mean a student's play-out of a card."""
    return {
        number
        for number, (name, card) in enumerate(left.cards, start=1)
        if (name_key(name), card) == (name_key(played.student), played.card)
    }


def _keep_note(book: Book, syllabus: Syllabus, left: ToClose, line: str) -> tuple[str]:
    seen = read_note(syllabus, left, line)
    what = keep_observation(book, seen, datetime.now(UTC)).what
    return (f"{what}: {seen.impression}" if seen.impression else what,)

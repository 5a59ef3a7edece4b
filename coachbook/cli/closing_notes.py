"""The steps of `coachbook evening close` that take one line for each thing: play-outs and notes."""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from datetime import UTC, datetime

import typer

from coachbook.cli.entry import ask, put_aside_or_tell, safe, show_numbered
from coachbook.cli.hints import in_words
from coachbook.cli.play_commands import told_moves
from coachbook.club.book import Book
from coachbook.club.draft import DraftLine, Typed
from coachbook.club.names import name_key
from coachbook.errors import CoachbookError
from coachbook.exercises.games import ENDS
from coachbook.model.syllabus import Syllabus
from coachbook.wording.plans import unmistakable
from coachbook.workflows.closing import ToClose
from coachbook.workflows.closing_lines import (
    SIGNS,
    TypedPlayOut,
    example_note,
    example_play_out,
    example_student,
    read_note,
    read_play_out,
)
from coachbook.workflows.playing import (
    check_note,
    judge,
    keep_observation,
    keep_play_out,
    known_student,
    start_of,
)
from coachbook.workflows.typed_sheets import forget

_PLAY_OUTS_HELP = f"""\
  How it went: {ENDS}; or a number alone, that of the moves in which the goal was reached.
  Or all the moves, from the position on the card: 1. Qc5 Kd3 2. Qe5 ... Then coachbook judges them.
  Whose it was: the number in the list (1: stalemate), or a name and the code on the card."""
_NOTES_HELP = """\
  Who, of which unit, and what you saw, with a colon between. Notes help you; only + or - counts as seen."""


@dataclass(frozen=True, slots=True)
class _Read:
    """A line that could be read: what is put aside, and what keeps it and says what was kept."""

    line: DraftLine
    keep: Callable[[], Sequence[str]]


def type_play_outs(book: Book, syllabus: Syllabus, left: ToClose, lines: Sequence[DraftLine]) -> None:
    """One line for each: the number of a card that was given, or a name and any card, and how it went.
    First come the `lines` that were put aside before.

    Left out if no card was given and nothing that was planned can be played out. Raises
    InterruptedEntryError.
    """
    aside = _aside(left, lines, Typed.PLAY_OUT)
    if not left.cards and not left.playable and not aside:
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
        book,
        "Play-out (nothing: go on; ?: help): ",
        lambda line: _read_play_out(book, syllabus, left, line, kept),
        _PLAY_OUTS_HELP,
        aside,
    )


def type_notes(book: Book, syllabus: Syllabus, left: ToClose, lines: Sequence[DraftLine]) -> None:
    """One line for each note: who, of which unit if there are several, and what the coach saw. First come
    the `lines` that were put aside before.

    Raises InterruptedEntryError.
    """
    one = len(left.units) == 1
    about, form = (f" on {unmistakable(left.units[0][1])}", "") if one else ("", " the unit,")
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
        book,
        "Note (nothing: go on; ?: help): ",
        lambda line: _read_note(book, syllabus, left, line),
        _NOTES_HELP,
        _aside(left, lines, Typed.NOTE),
    )


def _aside(left: ToClose, lines: Sequence[DraftLine], what: Typed) -> tuple[DraftLine, ...]:
    return tuple(line for line in lines if line.what is what and line.about == left.group)


def _each_line(
    book: Book, question: str, read: Callable[[str], _Read], help_: str, aside: Sequence[DraftLine]
) -> None:
    """Takes the lines that were put aside, and then asks until nothing is typed; `read` says what a line
    means, or raises CoachbookError."""
    for line in aside:
        typer.echo(f"{question}{line.text}")
        if not _keep(book, read, line.text):
            forget(book, [line])
    while typed := ask(question).strip():
        if typed == "?":
            typer.echo(help_)
        else:
            _keep(book, read, typed)
    typer.echo()


def _keep(book: Book, read: Callable[[str], _Read], typed: str) -> bool:
    """Whether a line could be read. It is kept then, and that is told; or it stays aside, with the reason."""
    try:
        found = read(typed)
    except CoachbookError as error:
        typer.echo(f"  {error.told(in_words)}")
        return False
    put_aside_or_tell(book, found.line)
    try:
        with safe("This line"):
            what, *more = found.keep()
    except CoachbookError as error:
        typer.echo(f"  {error.told(in_words)}")
        return True
    forget(book, [found.line])
    typer.echo("\n".join([f"  Kept: {what}.", *(f"    {told}" for told in more)]))
    return True


def _read_play_out(book: Book, syllabus: Syllabus, left: ToClose, line: str, kept: set[int]) -> _Read:
    """Adds the number to those that are kept, as soon as it is."""
    from coachbook.wording.people import play_out_result

    typed = read_play_out(left, line)
    if typed.number in kept:
        raise CoachbookError(
            f"Play-out {typed.number} is kept.",
            "If it was wrong, take it back after closing with 'coachbook log undo'; a second game of the"
            f" same card goes in with its code: {typed.student} {typed.card} {typed.told}.",
        )
    start = start_of(syllabus, typed.card, None, None)
    student, judged = known_student(book, typed.student), judge(book, start, typed.told)

    def keep() -> Iterator[str]:
        now = datetime.now(UTC)
        result, _ = keep_play_out(book, student, start, typed.told, judged, left.on, now)
        kept.update(_numbers(left, TypedPlayOut(result.student, result.card, typed.told)))
        yield f"{result.student}: {play_out_result(result)}, evening of {left.on}"
        yield from told_moves(judged) if judged is not None else ()

    text = f"{student} {start.card} {typed.told}"
    return _Read(DraftLine(Typed.PLAY_OUT, left.on, left.group, student, text=text), lambda: tuple(keep()))


def _numbers(left: ToClose, played: TypedPlayOut) -> set[int]:
    """The numbers in the list that mean a student's play-out of a card."""
    return {
        number
        for number, (name, card) in enumerate(left.cards, start=1)
        if (name_key(name), card) == (name_key(played.student), played.card)
    }


def _read_note(book: Book, syllabus: Syllabus, left: ToClose, line: str) -> _Read:
    from coachbook.wording.log import entry_in_words

    seen = read_note(syllabus, left, line)
    student = known_student(book, seen.student)
    text = f"{student}, {seen.unit}{SIGNS[seen.impression]}: {check_note(seen.note)}"

    def keep() -> tuple[str]:
        what = entry_in_words(keep_observation(book, seen, datetime.now(UTC)).what)
        return (f"{what}: {seen.impression}" if seen.impression else what,)

    return _Read(DraftLine(Typed.NOTE, left.on, left.group, student, text=text), keep)

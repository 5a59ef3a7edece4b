"""`coachbook log playout` and `log note`: what a student did at the board, and what the coach saw."""

from collections.abc import Iterator
from contextlib import AbstractContextManager, contextmanager, nullcontext
from datetime import UTC, date, datetime
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from coachbook.cli.asking import SureOption, can_ask, settled_day
from coachbook.cli.options import (
    BookOption,
    DateOption,
    LettersOption,
    NotationOption,
    PaperOption,
    SyllabusOption,
    paper_options,
    read_number,
    today,
)
from coachbook.errors import CoachbookError
from coachbook.paper.print_options import Notation, PaperSize

if TYPE_CHECKING:
    from coachbook.club.book import Book
    from coachbook.model.facts import PlayOutResult
    from coachbook.model.play_outs import JudgedPlayOut, PlayedMove
    from coachbook.workflows.playing import Start


_MOST_OFF = 3
"""The most moves off the rule that are told, as on paper."""


def told_moves(judged: "JudgedPlayOut") -> Iterator[str]:
    """The best moment, the first slip or else the slowest move, and the first moves off the rule."""
    if judged.praise is not None:
        yield f"Best moment:  {_told(judged.praise)}"
    if judged.first_slip is not None:
        yield f"{'First slip:  ' if judged.slip else 'Quicker way: '} {_told(judged.first_slip)}"
    for move in judged.to_mend[:_MOST_OFF]:
        yield f"Off the rule: {_told(move)}"
    more = len(judged.to_mend) - _MOST_OFF
    if more > 0:
        yield f"              and {more} more"


def _told(move: "PlayedMove") -> str:
    return f"{move.number}. {move.san}: {move.told}"


_NameArgument = Annotated[str, typer.Argument(metavar="NAME", help="The student's name.")]


def playout(
    name: _NameArgument,
    start: Annotated[
        str, typer.Argument(metavar="CARD|FEN", help="The code on the card, or the position it began with.")
    ],
    told: Annotated[
        list[str] | None,
        typer.Argument(
            metavar="[HOW IT WENT]...",
            help="mated in 14, stalemate, gave up ...; or all the moves.",
        ),
    ] = None,
    pgn: Annotated[Path | None, typer.Option("--pgn", metavar="FILE", help="The game, in PGN.")] = None,
    unit: Annotated[
        str | None, typer.Option("--unit", metavar="UNIT", help="The unit of a position of your own.")
    ] = None,
    allowance: Annotated[
        int | None,
        typer.Option("--allowance", parser=read_number, metavar="N", help="Moves allowed from there."),
    ] = None,
    pdf: Annotated[
        Path | None, typer.Option("--pdf", metavar="FILE", help="A page for the student, if moves are given.")
    ] = None,
    paper: PaperOption = PaperSize.A4,
    notation: NotationOption = Notation.FIGURINE,
    letters: LettersOption = None,
    on: DateOption = None,
    sure: SureOption = False,
    book: BookOption = None,
    syllabus: SyllabusOption = None,
) -> None:
    """Log a play-out. With the moves, coachbook judges them."""
    from coachbook.wording.log import entry_in_words
    from coachbook.workflows.evening_to_log import doubt_of_students
    from coachbook.workflows.members import open_club
    from coachbook.workflows.playing import (
        judge,
        keep_play_out,
        known_student,
        lacks_its_count,
        page_of_play_out,
        read_pgn_file,
        start_of,
    )
    from coachbook.workflows.standings import load_syllabus

    if pgn is not None and told:
        raise CoachbookError("The game is given twice.", "Give --pgn or the moves, not both.")
    start, told = _whole_code(start, told or [])
    opened = open_club(book)
    options = paper_options(paper, notation, letters, own=opened.letters)
    student, begun = known_student(opened, name), start_of(load_syllabus(syllabus), start, unit, allowance)
    day = settled_day(on, doubt_of_students(opened, today(on), today(None), [student]), sure=sure)
    is_asked = pgn is None and not told
    text = read_pgn_file(pgn) if pgn is not None else " ".join(told) or _ask(opened, student, begun, day)
    if can_ask() and lacks_its_count(begun, text):
        text = f"{text} {_ask_count()}"
    judged = judge(opened, begun, text)
    if judged is None and pdf is not None:
        raise CoachbookError("There is no page without moves.", "Give the moves, or leave --pdf out.")
    page: AbstractContextManager[None] = nullcontext()
    if judged is not None:
        _show(judged)
        if pdf is not None:
            page = page_of_play_out(opened, begun, judged, student, day, pdf, options)
    with page, _aside(opened, student, begun, text, day) if is_asked else nullcontext():
        result, entry = keep_play_out(opened, student, begun, text, judged, day, datetime.now(UTC))
    typer.echo(f"Kept: {entry_in_words(entry.what)}{_verdict(result)}.")
    if pdf is not None:
        typer.echo(f"Written: {pdf}")


def note(
    name: _NameArgument,
    text: Annotated[list[str], typer.Argument(metavar="NOTE...", help="What you saw, in your words.")],
    unit: Annotated[
        str | None, typer.Option("--unit", metavar="UNIT", help="Its code, such as queen-box. Needed.")
    ] = None,
    can: Annotated[bool, typer.Option("--can", help="You saw that the student can do it.")] = False,
    trouble: Annotated[bool, typer.Option("--trouble", help="You saw that the student has trouble.")] = False,
    on: DateOption = None,
    sure: SureOption = False,
    book: BookOption = None,
    syllabus: SyllabusOption = None,
) -> None:
    """Log what you saw of a student in a unit.

    A note alone counts for nothing. With --can the unit counts as remembered that evening, with --trouble
    as remembered with trouble, unless there are answers or play-outs; it never makes a unit secure.
    """
    from coachbook.model.facts import Impression, Observation
    from coachbook.wording.log import entry_in_words
    from coachbook.workflows.evening_to_log import doubt_of_students
    from coachbook.workflows.members import open_club
    from coachbook.workflows.playing import keep_observation, unit_of_note
    from coachbook.workflows.standings import load_syllabus

    if can and trouble:
        raise CoachbookError("A note says one thing.", "Give --can or --trouble, not both.")
    impression = Impression.CAN if can else Impression.TROUBLE if trouble else Impression.NONE
    opened = open_club(book)
    known = unit_of_note(opened, load_syllabus(syllabus), name, unit, today(on))
    day = settled_day(on, doubt_of_students(opened, today(on), today(None), [name]), sure=sure)
    seen = Observation(name, known.code, day, " ".join(text), impression)
    entry = keep_observation(opened, seen, datetime.now(UTC))
    typer.echo(f"Kept: {entry_in_words(entry.what)}.")


def _ask(book: "Book", student: str, start: "Start", on: date) -> str:
    """How it went, as it was put aside before or as it is typed now."""
    from coachbook.cli.entry import ask, taken_up
    from coachbook.workflows.care import before_typing
    from coachbook.workflows.typed_sheets import play_out_line, play_outs_aside

    waiting = play_outs_aside(book, play_out_line(book, student, start.card, "", on)) if start.card else {}
    if taken_up(book, list(waiting.values())):
        return list(waiting)[-1]
    before_typing(book, datetime.now(UTC))
    return ask("How did it go? (mated in 14, stalemate, gave up ..., or the moves) ")


@contextmanager
def _aside(book: "Book", student: str, start: "Start", told: str, on: date) -> Iterator[None]:
    """Within, what was typed of a card is kept; until then, and if that fails, it is put aside."""
    from coachbook.cli.entry import put_aside_or_tell, safe
    from coachbook.workflows.typed_sheets import forget, play_out_line

    if not start.card:
        yield
        return
    line = play_out_line(book, student, start.card, told, on)
    put_aside_or_tell(book, line)
    with safe():
        yield
    forget(book, [line])


def _ask_count() -> str:
    from coachbook.cli.entry import ask

    return ask("After how many moves? (nothing: not counted) ").strip() or "not counted"


def _whole_code(start: str, told: list[str]) -> tuple[str, list[str]]:
    """A code that was read off paper with a space after a hyphen comes in several words."""
    while start.endswith("-") and told:
        start, told = start + told[0], told[1:]
    return start, told


def _verdict(result: "PlayOutResult") -> str:
    if result.within:
        return ""
    if result.reached:
        return ", moves not counted" if result.used is None else ", not within the allowance"
    return ", goal not reached"


def _show(judged: "JudgedPlayOut") -> None:
    typer.echo(judged.line)
    best = "" if judged.optimum is None else f", {judged.optimum} with best play"
    moves = "move" if judged.used == 1 else "moves"
    how = f"{str(judged.end).capitalize()} after {judged.used} {moves}"
    typer.echo(f"{how} ({judged.allowance} allowed{best}).")
    for line in told_moves(judged):
        typer.echo(line)

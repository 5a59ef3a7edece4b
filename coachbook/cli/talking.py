"""Drives any conversation at the terminal: shows and asks in words, and carries out what it wants. What is
typed is put aside line by line until it is kept."""

import errno
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager, suppress
from datetime import UTC, date, datetime

import typer

from coachbook.cli.console import can_ask
from coachbook.cli.hints import in_words as advice_in_words
from coachbook.club.book import Book
from coachbook.club.draft import DraftLine
from coachbook.errors import Advice, CoachbookError, InterruptedEntryError, Step
from coachbook.model.conversation import Alone, Question, Say, Told, ask
from coachbook.model.syllabus import Syllabus
from coachbook.wording.conversations import in_words, lines_in_words
from coachbook.workflows.effects import (
    Conversation,
    Effect,
    KeepAnswers,
    KeepAttendance,
    Talk,
    Turn,
    YesOrNo,
    carry_out,
    drive,
)
from coachbook.workflows.typed_answers import forget, goes_on_with, others_aside

_NOTHING_KEPT = "Nothing was kept."
_AGAIN = "The same command goes on from there."
_EITHER = """\
  To type some items only, give their numbers:  {some}
  A line with numbers changes only these items; the others stay as you typed them.
  A line without numbers is the whole sheet.
  An empty line goes to the next student, and keeps what you typed for this one.
  {back}  back to the student before.  {skip}  forget what you typed for this student.
  To change answers later: coachbook log answers and the sheet's code. The last answer to an item counts."""
_ANSWERS_HELP = """\
  Type what the student wrote, item by item, with a semicolon between:  Qe5; 9; -
  With one word for each item, spaces or commas will do:  Qe5 9 -
  Several moves for one item:  Qe5 Qb8; 9
  For words to tick, type the first letter (m, s, n: mate, stalemate, neither) or the number:  1
  -  left blank; so are ? and nothing between two semicolons.
  none  the student says that there is no such move.
"""
_TICKS_HELP = """\
  Type one sign for each item: 1 right, 0 wrong, - left blank. All right: =
"""


def _help(ticks: bool, back: str, skip: str) -> str:
    head, some = (_TICKS_HELP, "3: 1; 5: 0") if ticks else (_ANSWERS_HELP, "3: Qe5; 5: 9")
    return head + _EITHER.format(some=some, back=back, skip=skip)


def _changed(changed: Sequence[tuple[str, bool]]) -> str:
    now = ", ".join(f"{name} ({'there' if here else 'absent'})" for name, here in changed)
    return f"Changed by this list: {now}. To take it back: coachbook log undo"


def _played_before(number: int, student: str, card: str, told: str) -> str:
    return (
        f"  Play-out {number} is kept. If it is wrong, use 'coachbook log undo' after closing."
        f" For a second game with the same card, type its code: {student} {card} {told}."
    )


_OWN_WORDS: dict[Say, Callable[..., str]] = {
    Say.REFUSED: lambda error: f"  {error.told(advice_in_words)}",
    Say.NOT_ASIDE: lambda error: (
        f"  This line could not be put aside, so keep it soon: {error.told(advice_in_words)}"
    ),
    Say.NOT_KEPT: lambda error: (
        f"  {error.told(advice_in_words)} This line is safe, but not kept yet. {_AGAIN}"
    ),
    Say.PLAN_STAYS: lambda error: f"  The plan stays as it was: {error.told(advice_in_words)}",
    Say.HELP: _help,
    Say.CHANGED: _changed,
    Say.PLAYED_BEFORE: _played_before,
    Say.LETTERS: lambda letter, man, letters: (
        f"  Does your club write {letter} for the {man}? coachbook club set --letters {letters}"
    ),
    Say.LOG_THE_REST: lambda on: (
        f"  To log what is missing: {advice_in_words(Advice(Step.CLOSE_THE_EVENING, {'on': str(on)}))}"
    ),
}
"""What names a command or gives advice, which is about commands, too."""


def words(told: Told) -> str:
    """What is said at the terminal."""
    own = _OWN_WORDS.get(told.code)
    return own(**told.values) if own else in_words(told)


def show(told: Told) -> None:
    """Print what is said."""
    typer.echo(words(told))


def doing(book: Book, syllabus: Syllabus | None = None) -> Callable[[Effect], object]:
    """What carries things out in a book. Raises CoachbookError, which says so if that stays aside."""

    def do(effect: Effect) -> object:
        if isinstance(effect, KeepAnswers | KeepAttendance) and effect.lines:
            with safe():
                return carry_out(book, syllabus, effect, datetime.now(UTC))
        return carry_out(book, syllabus, effect, datetime.now(UTC))

    return do


def talk(state: Talk, do: Callable[[Effect], object], otherwise: str = _NOTHING_KEPT) -> Talk:
    """The state in which a conversation is over.

    Ctrl-C, or Ctrl-D at a terminal, is the conversation's to answer; if it has no answer, and at the end of
    the input, for bytes that are no text and where the terminal is closed, the entry stops: raises
    InterruptedEntryError, with what is put aside, or `otherwise` if nothing is. Raises CoachbookError if
    something cannot be done.
    """
    with suppress(ImportError):
        import readline  # noqa: F401  (gives `input` the arrow keys, where there is a readline)
    state = drive(state.begun(), do, show)
    while not state.is_over and (question := state.question) is not None:
        state = drive(_answered(state, question, otherwise), do, show)
    return state


def _answered(state: Talk, question: Question, otherwise: str) -> Turn[Talk]:
    try:
        return state.said(input(in_words(question)))
    except (KeyboardInterrupt, EOFError) as error:
        turn = state.stopped() if isinstance(error, KeyboardInterrupt) or can_ask() else None
        if turn is not None:
            return turn
        typer.echo()
        raise _interrupted("Stopped.", state, otherwise) from error
    except UnicodeDecodeError as error:
        raise _interrupted("What was typed is not UTF-8 text.", state, otherwise) from error
    except OSError as error:
        if error.errno != errno.EIO:
            raise
        raise _interrupted("The terminal is closed.", state, otherwise) from error


def _interrupted(why: str, state: Conversation, otherwise: str) -> InterruptedEntryError:
    if state.unkept is None:
        return InterruptedEntryError(why, otherwise)
    typed = in_words(state.unkept)
    if not state.is_aside:
        return InterruptedEntryError(f"{why} Not kept: {typed}.")
    return InterruptedEntryError(f"{why} Not kept yet, but safe: {typed}.", _AGAIN)


def agreed(question: Question, otherwise: str = _NOTHING_KEPT) -> bool:
    """Whether the coach says yes. Raises InterruptedEntryError, with `otherwise`."""
    return talk(YesOrNo(asked=question), lambda _: None, otherwise).answer


def told_waiting(lines: Sequence[DraftLine]) -> str:
    """That lines wait to be kept, and the commands that go on with them (two, where there are more)."""
    steps = list(dict.fromkeys(advice_in_words(goes_on_with(line)) for line in lines))
    shown = ", ".join([*steps[:2], *(["..."] if steps[2:] else [])])
    count = lines_in_words(len(lines), _days(lines))
    return f"{count} typed but not kept; to go on: {shown}"


def taken_up(book: Book, lines: Sequence[DraftLine]) -> tuple[DraftLine, ...]:
    """Those lines, if the coach wants to go on with them; else they are deleted, and it is (). What else is
    put aside is told. Raises CoachbookError, InterruptedEntryError."""
    if others := others_aside(book, lines):
        typer.echo(told_waiting(others))
    if not lines:
        return ()
    if agreed(ask(Say.GO_ON, Alone.YES, count=len(lines), days=_days(lines))):
        return tuple(lines)
    forget(book, lines)
    return ()


@contextmanager
def safe() -> Iterator[None]:
    """Within, something that is put aside is kept in the book; if that fails, it says so.

    Raises CoachbookError, which says so, if that fails.
    """
    try:
        yield
    except InterruptedEntryError:
        raise
    except CoachbookError as error:
        advice = advice_in_words(error.hint) if isinstance(error.hint, Advice) else error.hint
        hint = f"{advice} What you typed is safe, but not kept yet. {_AGAIN}".strip()
        raise CoachbookError(error.message, hint) from error


def _days(lines: Sequence[DraftLine]) -> tuple[date, ...]:
    return tuple(sorted({line.on for line in lines}))

"""The command `coachbook`: its groups of commands, and how an error looks."""

import errno
import os
import sys
from collections.abc import Sequence
from contextlib import suppress
from pathlib import Path
from typing import NoReturn, cast

import typer
import typer.main
from typer.core import TyperGroup
from typer.exceptions import TyperException

from coachbook import __version__
from coachbook.cli import (
    care_commands,
    club_commands,
    desk_commands,
    ending_commands,
    evening_commands,
    exercise_commands,
    group_commands,
    log_commands,
    report_commands,
    sheet_commands,
    student_commands,
    syllabus_commands,
    term_commands,
)
from coachbook.cli.completing import is_asked
from coachbook.cli.console import one_line, tell_text_only
from coachbook.cli.examples import with_examples
from coachbook.cli.hints import in_words
from coachbook.cli.old_spellings import in_todays_words
from coachbook.cli.options import in_order
from coachbook.errors import CoachbookError
from coachbook.model.settings import DateStyle
from coachbook.wording.counting import show_dates

_STOPPED = 130  # as shells tell it, with SIGINT
_UNHEARD = 1  # whoever reads the output has gone
_ORDER = (
    "demo desk play club group student syllabus term evening log review report"
    " lesson sheet card poster ending exercise backup restore check"
)
"""As a coach needs them, and not as Typer would list them."""


app = typer.Typer(
    name="coachbook",
    cls=in_order(_ORDER),
    help="Plan, print and follow up endgame lessons for a chess club.",
    epilog="A new club: coachbook club new NAME; it says what to do next, as most commands do. Each week:"
    " coachbook evening prepare, then coachbook evening close. Every command tells more with -h."
    "\n\nExit codes: 0 done; 1 a check found something, or nobody reads the output; 2 it cannot go on, and"
    " says why; 130 it was interrupted.",
    context_settings={"help_option_names": ["-h", "--help"]},
    no_args_is_help=True,
    rich_markup_mode=None,
    pretty_exceptions_enable=False,
)
app.command("demo")(club_commands.demo)
app.command("desk")(desk_commands.desk)
app.command("play")(desk_commands.play)
app.add_typer(club_commands.app, name="club")
app.add_typer(student_commands.app, name="student")
app.add_typer(group_commands.app, name="group")
app.add_typer(syllabus_commands.app, name="syllabus")
app.add_typer(term_commands.app, name="term")
app.add_typer(evening_commands.app, name="evening")
app.add_typer(syllabus_commands.lesson_app, name="lesson")
app.add_typer(sheet_commands.app, name="sheet")
app.add_typer(syllabus_commands.card_app, name="card")
app.add_typer(syllabus_commands.poster_app, name="poster")
app.add_typer(log_commands.app, name="log")
app.command("review")(report_commands.review)
app.command("backup")(care_commands.backup)
app.command("restore")(care_commands.restore)
app.command("check")(care_commands.check)
app.add_typer(report_commands.app, name="report")
app.add_typer(exercise_commands.app, name="exercise")
app.add_typer(ending_commands.app, name="ending")


def _show_version(wanted: bool) -> None:
    if wanted:
        typer.echo(f"coachbook {__version__}")
        raise typer.Exit


@app.callback()
def coachbook(
    _version: bool = typer.Option(
        False, "--version", callback=_show_version, is_eager=True, help="Show the version and stop."
    ),
) -> None:
    """Plan, print and follow up endgame lessons for a chess club."""
    try:
        Path.cwd()
    except FileNotFoundError as error:
        raise CoachbookError(
            "The folder that you are in is no longer there.", "Go to another one, then try again."
        ) from error


def main(arguments: Sequence[str] | None = None) -> NoReturn:
    """Run the command line and exit; a known error is one line on stderr and exit code 2.

    `arguments` are those after the program's name, by default the ones it was started with.
    """
    _open_closed_streams()
    _agree_on_text()
    if not is_asked():
        tell_text_only()
    _letters_without_font()  # Those of a run before this one, in the same process.
    show_dates(DateStyle.USUAL)  # Until a book is opened: that of the club before stays out of this run.
    try:
        # Not standalone: Typer would tell a usage error in four lines.
        command = with_examples(cast(TyperGroup, typer.main.get_command(app)))
        typed = in_todays_words(arguments, command)
        status = command(typed, prog_name="coachbook", standalone_mode=False)
        if not status:
            _tell_unprinted()
        sys.stdout.flush()
    except KeyboardInterrupt:
        sys.exit(_STOPPED)
    except CoachbookError as error:
        _stop(f"coachbook: {one_line(error.told(in_words))}")
    except TyperException as error:
        _stop(_usage_error(error))
    except BrokenPipeError:
        _drop_output()
        sys.exit(_UNHEARD)
    except OSError as error:
        if error.errno != errno.ENOSPC:
            raise
        _drop_output()
        _stop("coachbook: The output cannot be written: the disk is full. Make room, then try again.")
    sys.exit(status)


def _open_closed_streams() -> None:
    """A stream that was closed by who started coachbook reads as empty, and takes what is told to nowhere.

    Otherwise the next file to be opened, such as the book, would stand in its place.
    """
    for name, mode in (("stdin", "r"), ("stdout", "w"), ("stderr", "w")):
        if getattr(sys, name) is None:
            setattr(sys, name, open(os.devnull, mode, encoding="utf-8"))  # noqa: SIM115, PTH123 - for good


def _letters_without_font() -> tuple[str, ...]:
    """Those that were to be printed since this was last asked; of a command that prints nothing, none."""
    if "coachbook.paper.text" not in sys.modules:
        return ()
    from coachbook.workflows.papers import letters_without_font

    return letters_without_font()


def _tell_unprinted() -> None:
    """Which letters of a name or a note are not on the papers that were made."""
    if letters := _letters_without_font():
        from coachbook.wording.paper_words import lacking_in_words

        typer.echo(lacking_in_words(letters), err=True)


def _agree_on_text() -> None:
    """A name that an old terminal cannot write is shown with question marks; it is no error.

    What is typed must be text, though in the locale "C" Python would let any bytes pass (PEP 538).
    """
    for stream, errors in ((sys.stdout, "replace"), (sys.stdin, "strict")):
        reconfigure = getattr(stream, "reconfigure", None)
        if reconfigure is not None:
            reconfigure(errors=errors)


def _drop_output() -> None:
    """What could not be written would be tried, and told, once more when Python ends."""
    with suppress(OSError):
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())


def _usage_error(error: TyperException) -> str:
    """One line, but for a noun without a command: there the message is the noun's help."""
    told = error.format_message()
    if told.startswith("Usage:"):
        return told
    context = getattr(error, "ctx", None)
    command = context.command_path if context else "coachbook"
    return f"coachbook: {one_line(told).rstrip('.')}. See '{command} --help'."


def _stop(told: str) -> NoReturn:
    typer.echo(told, err=True)
    sys.exit(2)

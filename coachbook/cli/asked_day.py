"""For which evening something is logged: a day that may be a slip is asked about."""

from datetime import date
from typing import TYPE_CHECKING, Annotated

import typer

from coachbook.cli.asking import agrees, can_ask
from coachbook.cli.options import today
from coachbook.errors import CoachbookError, InterruptedEntryError

if TYPE_CHECKING:
    from coachbook.workflows.days import Doubt

SureOption = Annotated[
    bool, typer.Option("--yes", help="Do not ask about a day that is still to come, or was not planned.")
]

_NOTHING = "Nothing was kept."


def settled_day(asked: date | None, doubt: "Doubt | None", *, sure: bool) -> date:
    """The day for which something is logged: the one that was asked for, else today; where nothing is
    planned today, perhaps the last evening.

    At a terminal the coach is asked where there is a `doubt`, unless `sure`. Raises CoachbookError where
    nobody can be asked, InterruptedEntryError if the day is not to be.
    """
    day = today(asked)
    if doubt is None or sure:
        return day
    last = doubt.last if asked is None else None
    if last and not can_ask():
        raise CoachbookError(
            doubt.in_words, f"Give --date {last}, or --yes to log it for {day} all the same."
        )
    if last:
        from coachbook.cli.entry import takes

        if takes(f"No evening is planned today, {day}, for {doubt.group}. Take the last, {last}?"):
            return last
    check_doubt(doubt, sure=sure)
    return day


def check_doubt(doubt: "Doubt | None", *, sure: bool) -> None:
    """Asks whether something is logged all the same where there is a `doubt` about its day, unless `sure`.

    Raises CoachbookError where nobody can be asked, InterruptedEntryError for no.
    """
    if doubt is None or sure:
        return
    if not can_ask():
        raise CoachbookError(doubt.in_words, "Give another --date, or --yes to log it all the same.")
    what = "it for that day" if doubt.group else "it"
    if not agrees(f"{doubt.in_words} Log {what} all the same?", _NOTHING):
        raise InterruptedEntryError("Not logged.", "Give the day with --date.")

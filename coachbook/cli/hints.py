"""What to do, as it is typed: the words of this front end for the steps that errors and notes advise, and
which command mostly comes next for a group."""

import os
import shlex
from collections.abc import Sequence
from datetime import date, timedelta
from pathlib import Path
from typing import TYPE_CHECKING

import typer

from coachbook.errors import Advice, Step
from coachbook.model.dates import WEEKDAYS
from coachbook.model.problem import Problem

_WORDS = {
    Step.ADD_A_STUDENT: "Add one with 'coachbook student add'.",
    Step.ASK_FOR_MORE_ITEMS: "Ask for more --items.",
    Step.BUILD_THE_ENDING: "Build it once: coachbook ending build {ending}",
    Step.CHOOSE_FORMS_OR_EACH: "Give --forms or --each, not both.",
    Step.CHOOSE_GROUP_OR_STUDENT: "Give --group or --student, not both.",
    Step.CLOSE_THE_EVENING: "coachbook evening close {on}",
    Step.FINISH_LOGGING: "Finish them first: coachbook evening close, or coachbook log answers.",
    Step.LEAVE_OUT_FORMS: "Leave --forms out.",
    Step.LEAVE_OUT_FORMS_AND_REVIEW: "Leave --forms and --review out.",
    Step.LIST_THE_EVENINGS: "'coachbook term show' lists them.",
    Step.LIST_THE_KINDS: "See 'coachbook exercise list'.",
    Step.LIST_THE_LOG: "See 'coachbook log list'.",
    Step.LOG_ALL_THE_SAME: "To log it anyway, give --yes.",
    Step.LOG_ANSWERS: "coachbook log answers {sheet}",
    Step.LOG_ATTENDANCE: "Name all who were there: coachbook log attendance NAME...",
    Step.LOOK_AT_OWN_POSITIONS: "See 'coachbook exercise own' for the kinds that it suits.",
    Step.MAKE_A_CLUB: "Make one with 'coachbook club new NAME'.",
    Step.MAKE_A_GROUP: "Make one with 'coachbook group add NAME'.",
    Step.MAKE_A_SHEET: "Make one with 'coachbook sheet make'.",
    Step.MAKE_ONE_EACH: "Give --each, too.",
    Step.NAME_A_BEGUN_UNIT: "Name the unit after the student. {student} has begun {units}.",
    Step.NAME_A_GROUP: "Say which with --group: {groups}.",
    Step.NAME_A_GROUP_OR_ALL: "Say which with --group, or take --all: {groups}.",
    Step.NAME_AN_ALLOWANCE: "Give it with --allowance, such as 20.",
    Step.NAME_ANY_UNIT: "Name the unit after the student. 'coachbook syllabus list' shows all units.",
    Step.NAME_THE_GROUP_TO_SHOW: "Say which after 'group show': {groups}.",
    Step.NAME_THE_LAST_EVENING: "Give --date {on}: that is the last evening that is logged.",
    Step.NAME_THE_UNIT: "Name the unit after the position.",
    Step.PIN_LATER_OR_UNPIN: (
        "Pin it to a later evening, or take the pin away with 'coachbook term unpin {unit}'."
    ),
    Step.PLAN_A_TERM: "Make one with 'coachbook term plan'.",
    Step.PLAN_A_TERM_OR_LOG: (
        "Plan a term with 'coachbook term plan', or log what happened with 'coachbook log'."
    ),
    Step.PLAN_FROM_EARLIER: "Give --from {on}, or an earlier day.",
    Step.PRINT_AGAIN: "Print again with 'coachbook sheet print {sheets} --to FOLDER'.",
    Step.PUT_STUDENTS_IN: "Put some in it with 'coachbook group put'.",
    Step.RESTORE_A_BACKUP: "Bring back a backup with 'coachbook restore NAME'.",
    Step.RESTORE_AND_PRINT_AGAIN: "Bring back a backup with 'coachbook restore NAME', then print it again.",
    Step.RESTORE_THE_BOOK: "Bring back a backup of it with 'coachbook restore NAME'.",
    Step.SHOW_THE_TERM: "See 'coachbook term show'.",
    Step.UNDO_AND_LOG_AGAIN: "Take it back with 'coachbook log undo', and log it again.",
    Step.UNDO_ITS_LOG: "If it was not, first take its log back with 'coachbook log undo'.",
    Step.UNPIN: "Take the pin away with 'coachbook term unpin {unit}'.",
}


def in_words(advice: Advice) -> str:
    """The sentence for a step, or the command where the step is a command that stands for itself."""
    return _WORDS[advice.step].format_map(advice.values)


def tell_next(*words: str, book: Path | None = None) -> None:
    """The one line after a change on what is mostly done next: a command for the same `book`."""
    typer.echo(f"Next: {as_typed(*words, book=book)}")


def as_typed(*words: str, book: Path | None = None) -> str:
    """A command that can be typed as it stands, for the same `book` as the one before."""
    named = book is not None and str(book) != os.environ.get("COACHBOOK_BOOK")
    whose = ("--book", str(book)) if named else ()
    return f"coachbook {shlex.join((*words, *whose))}"


def problem_in_words(problem: Problem) -> str:
    """A mistake, and what to do; a message that is no whole sentence goes on with it."""
    told = str(problem)
    if problem.advice is None:
        return told
    words = in_words(problem.advice)
    return f"{told} {words}" if told.endswith(".") else f"{told}; {words[0].lower()}{words[1:].rstrip('.')}"


if TYPE_CHECKING:
    from coachbook.club.book import Book

_TERM = timedelta(weeks=12)
"""From the first evening to the last of the term that is proposed, which the coach is to change."""


def tell_next_of_groups(opened: "Book", groups: Sequence[str], today: date, book: Path | None) -> None:
    """Somebody to teach, then a term, then the next evening: print what the first of the groups that lacks
    one needs, else how the next evening of all of them is prepared. `book` is the file as it was named."""
    from coachbook.workflows.members import groups_of, groups_without_term, next_evening, students_of

    for group in groups:
        if not students_of(opened, group):
            tell_next("student", "add", "NAME", "--group", group, book=book)
            return
    with opened.reading() as tx:
        on = next_evening(tx, groups, today)
    if on is not None:
        tell_next("evening", "prepare", str(on), book=book)
        return
    first = _first_evening(groups[0], today)
    unplanned = groups_without_term(opened)
    is_for_all = len(unplanned) == len(groups_of(opened)) > 1
    whom = ("--all",) if is_for_all else ("--group", groups[0])
    days = ("--from", str(first), "--until", str(first + _TERM))
    evenings = ("--weekday", WEEKDAYS[first.weekday()].lower(), "--minutes", "60")
    tell_next("term", "plan", *whom, *days, *evenings, book=book)


def _first_evening(group: str, today: date) -> date:
    """From today on the day of the week that the group is named after; today if it is none."""
    named = [day for day in WEEKDAYS if day.lower() == group.lower()]
    ahead = (WEEKDAYS.index(named[0]) - today.weekday()) % 7 if named else 0
    return today + timedelta(days=ahead)

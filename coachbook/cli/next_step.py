"""Which command mostly comes next for a group, told in one line after a change."""

from collections.abc import Sequence
from datetime import date, timedelta
from pathlib import Path
from typing import TYPE_CHECKING

from coachbook.cli.hints import tell_next
from coachbook.model.dates import WEEKDAYS

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

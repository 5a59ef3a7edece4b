"""Care of the club's data in words: what a book holds, why a backup was made, what a check found; and what
is said when a student is erased, renamed or given out what is kept."""

from collections.abc import Iterable, Sequence
from datetime import date
from enum import StrEnum

from coachbook.wording.counting import counted, listed, shown_day

_WHY = {
    "": "you asked for it",
    "daily": "made by itself, before the first thing that was logged on that day",
    "before-restore": "before a backup was brought back",
    "before-remove": "before a group was removed",
    "before-import": "before students came from a table",
}
_BEFORE_UPGRADE = "before the book was brought up to date"


def held_in_words(students: int, sheets: int, answers: int) -> str:
    """Such as "8 students, 12 sheets, 96 answers"."""
    held = ((students, "student"), (sheets, "sheet"), (answers, "answer"))
    return ", ".join(counted(number, what) for number, what in held)


def why_backed_up(why: str) -> str:
    """Why a backup was made, by what its name says of it."""
    return _WHY.get(why, _BEFORE_UPGRADE if why.removeprefix("before-").isdecimal() else why)


def renamed_slip(was: str, now: str, answers: int) -> str:
    """That answers would have another slip today."""
    return f"{counted(answers, 'answer')} kept as '{was}' would be marked '{now}' today."


def not_seen_for(months: int, unseen: Sequence[tuple[str, date]]) -> str:
    """Who was not seen for so long, and on which day last."""
    names = listed(f"{name} (last on {shown_day(seen)})" for name, seen in unseen)
    return f"Not seen for more than {counted(months, 'month')}: {names}."


def never_logged(names: Sequence[str]) -> str:
    """Of whom nothing is in the log."""
    return f"Nothing is logged for {listed(names)}."


CANNOT_REACH = "coachbook cannot reach these; please see to them yourself:"

RULES_COME_FIRST = """\
Your club's safeguarding rules and your data-protection law decide what must go
and what must stay. They come before anything said here."""

WHAT_A_RECORD_IS = """\
This is what coachbook holds under this name, with notes on others that may mention it. Printed
pages, exported files and copies elsewhere are not in it; coachbook's own backups hold earlier
versions of it. Names of other students in the book are left out, but read it through before
you hand it out as your club's safeguarding rules and the law ask you to."""

CANNOT_BE_TAKEN_BACK = "The name goes from the book and from all its own backups. You cannot take this back."

DRAFT_DELETED = "Also deleted: what was typed for an evening but not kept."

TAKEN_BACK_DELETED = "Also deleted: all log entries that were taken back, of any student."


def out_of_reach(copies: str = "") -> tuple[str, ...]:
    """What no erasure in the book can reach; `copies` says how copies of the book were made."""
    made = f", {copies}" if copies else ""
    return (
        "printed pages; PDF, CSV, JSON and other files that were made from the book",
        f"copies of the book elsewhere{made}",
        "pages that a stopped program left in the computer's temporary files",
        "the computer's own backups",
        "blocks of the disk that are free but not yet overwritten",
        "texts with a nickname or a misspelt name of the student",
        "a syllabus of your own, and titles on its sheets, if they name the student",
    )


def to_be_erased(name: str, facts: int | None) -> str:
    """What an erasure takes; `facts` are how many rows, None if only texts mention the name."""
    if facts is None:
        return f"There is no student {name}, but other texts may mention the name."
    if not facts:
        return f"This erases {name}, who is now only in backups."
    what = "groups, sheets, attendance, answers, play-outs, notes"
    return f"This erases {name}, with {counted(facts, 'fact')}: {what}."


def elsewhere_in_words(backups: int, reworded: int) -> str:
    """Such as ", here and in 3 backups; 2 other texts changed"; "" if there was nothing else."""
    told = f", here and in {counted(backups, 'backup')}" if backups else ""
    return f"{told}; {counted(reworded, 'other text')} changed" if reworded else told


def to_be_removed(name: str, groups: Iterable[str]) -> tuple[str, str]:
    """What taking a student out of all groups does, and what it leaves."""
    return (
        f"This takes {name} out of {' and '.join(groups)}.",
        "All the work stays in the book: sheets, answers, play-outs, notes.",
    )


class WrittenIn(StrEnum):
    """Where somebody wrote freely."""

    NOTE = "A note on {whose}"
    ANSWER = "An answer of {whose}"
    GROUP = "A group's name"
    CLUB = "The club's name"
    FOLDER = "The folder for papers"


def _day(evening: str) -> str:
    """An evening as the club writes days; a damaged one as it stands in the file."""
    try:
        return shown_day(date.fromisoformat(evening)) if evening else ""
    except ValueError:
        return evening


def place_in_words(
    where: WrittenIn | str, of: Iterable[str], unit: str, evening: str, entry: int | None, *, in_book: bool
) -> str:
    """Such as "A note on Tom (queen-box, 2026-11-25, entry 12)"; `where` is told as it is if it is another
    place."""
    what = where.value.format(whose=listed(of)) if isinstance(where, WrittenIn) else where
    number = "" if entry is None else f"entry {entry}"
    details = ", ".join(filter(None, (unit, _day(evening), number, "" if in_book else "in a backup only")))
    return f"{what} ({details})" if details else what

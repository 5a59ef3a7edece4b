"""Care of the club's data in words: what a book holds, why a backup was made, what a check found."""

from collections.abc import Sequence
from datetime import date

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

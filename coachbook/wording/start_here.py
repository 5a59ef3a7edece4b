"""What to look at in the demo's folder, in the order of reading."""

from collections.abc import Sequence
from datetime import date
from pathlib import PurePosixPath

from coachbook.wording.counting import day_in_words

_WHAT = {
    "coach.pdf": "For you: the evening minute by minute, a list to tick, and the key of every sheet.",
    "print.pdf": "For the printer, in the right order: register, lesson plan, a sheet for each student.",
    "club.book": "The club's book: students, plans, sheets, and what they answered on this evening.",
}
_PLAN = "What to teach on which evening, and why it stands there."


def start_here(club: str, on: date, files: Sequence[str]) -> str:
    """A few lines on these files (their paths, those to read first at the head)."""
    lines = [
        f"{club}: its first evening, {day_in_words(on)}.",
        "",
        "Open, in this order:",
        "",
    ]
    for number, file in enumerate(files, start=1):
        lines += [f"{number}. {file}", f"   {_WHAT.get(PurePosixPath(file).name, _PLAN)}"]
    return "\n".join([*lines, ""])

"""Lines of an evening that is closed: what a coach types (whom to put right, a play-out, a note), and what
moves to the next evening."""

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import date

from coachbook.errors import Advice, CoachbookError, InWords, Step
from coachbook.model.facts import Impression, Observation
from coachbook.model.play_outs import read_card_code
from coachbook.model.syllabus import Syllabus
from coachbook.wording.people import last_time
from coachbook.wording.plans import differences_in_words, unmistakable
from coachbook.workflows.closing import NextWeek, ToClose
from coachbook.workflows.evening_to_log import find_picked, picked
from coachbook.workflows.typed_answers import counted_off

_LATE = re.compile(r"\s+late(?=\s*(,|$))", re.IGNORECASE)
_NUMBERED = re.compile(r"(?P<number>[0-9]{1,9})(?:\s*:\s*|\s+)(?P<told>\S.*)")
SIGNS = {Impression.CAN: "+", Impression.TROUBLE: "-", Impression.NONE: ""}
"""How a coach types what was seen."""

_IMPRESSIONS = {"+": Impression.CAN, "-": Impression.TROUBLE}


@dataclass(frozen=True, slots=True)
class TypedPlayOut:
    """A play-out as typed: whose, of which card, and how it went. `number` is that in the list of cards
    that were given out, None if the card was named."""

    student: str
    card: str
    told: str
    number: int | None = None


def to_put_right(students: tuple[str, ...], line: str) -> tuple[str, ...]:
    """Those of whom a line says that attendance is wrong, by number or name ("3 late" too).

    Raises CoachbookError for a number or name that is not in the list.
    """
    return picked(students, _LATE.sub("", line))


def example_student(left: ToClose) -> str:
    """A student of the class for an example, one who was there if anybody was."""
    there = (name for name in left.students if name in (left.present or ()))
    return next(there, next(iter(left.students), "Name"))


def read_play_out(left: ToClose, line: str) -> TypedPlayOut:
    """A line such as "3 mated in 14" or "3: mated in 14" (a card of the list), or "Ana queen-box-1
    stalemate" (any card).

    Raises CoachbookError for a line that says neither.
    """
    words = line.split()
    for start in range(1, len(words)):
        # A code that is broken at the end of a line is typed with a space.
        for end in (start + 1, start + 2):
            code = "".join(words[start:end]).removesuffix(":")
            if words[end:] and (read_card_code(code) or read_card_code(f"PLAY-{code}")):
                return TypedPlayOut(" ".join(words[:start]), code, line.split(maxsplit=end)[end])
    numbered = _NUMBERED.fullmatch(line)
    cards = dict(enumerate(left.cards, start=1))
    if numbered is None or int(numbered["number"]) not in cards:
        raise CoachbookError(
            f"'{line}' is neither a number of the list nor a name and a card's code, and then how it went.",
            f"Such as: {example_play_out(left)}.",
        )
    number = int(numbered["number"])
    return TypedPlayOut(*cards[number], numbered["told"], number)


def example_play_out(left: ToClose) -> str:
    """What could be typed this evening."""
    if left.cards:
        return "1 mated in 14"
    return f"{example_student(left)} {(*left.playable, 'PLAY-QUEEN-BOX-1')[0]} mated in 14"


def read_note(syllabus: Syllabus, left: ToClose, line: str) -> Observation:
    """A line such as "Ana, 1+: helps others", or "3: helps others" where one unit was planned.

    The student is told by name or by the number in the class list, the unit by its number in the list
    or its code. Raises CoachbookError for a line that is no note, and for an unknown unit.
    """
    who, colon, words = line.partition(":")
    if not colon:
        raise CoachbookError(f"'{line}' is not a note.", f"Such as: {example_note(left)}.")
    named, comma, last = (each.strip() for each in who.rpartition(","))
    impression = _IMPRESSIONS.get(last[-1:], Impression.NONE)
    told = last.removesuffix("+").removesuffix("-").strip()
    student, which = (named, told) if comma else (told, "")
    numbered = {str(number): code for number, (code, _) in enumerate(left.units, start=1)}
    if not which and len(numbered) != 1:
        raise CoachbookError("A note needs its unit.", f"Such as: {example_note(left)}.")
    code = syllabus.unit(numbered.get(which, which) if which else numbered["1"]).code
    if student.isdecimal():
        student = find_picked(left.students, student, "student")
    return Observation(student, code, left.on, words, impression)


def example_note(left: ToClose) -> str:
    """What could be typed this evening."""
    unit = "" if len(left.units) == 1 else ", 1" if left.units else ", queen-box"
    return f"{example_student(left)}{unit}: explained it to a neighbour"


def told_moves(on: date, moves: NextWeek, titles: Mapping[str, str], in_words: InWords) -> Iterator[str]:
    """What moves from the evening of a day to the next one, a line for each thing."""
    yield from differences_in_words(moves.changes, titles)
    if moves.refused is not None:
        yield f"The plan stays as it was: {moves.refused.told(in_words)}"
    if moves.absent and moves.missed:
        yield f"To catch up: {', '.join(moves.absent)} missed {', '.join(map(unmistakable, moves.missed))}."
    for name, code in moves.open_sheets:
        yield f"Not logged: sheet {code} of {name}."
    for half in moves.half:
        items = f"{counted_off('item', half.items)} of sheet {half.sheet} of {half.student}"
        yield f"Half logged: {items} {'is' if len(half.items) == 1 else 'are'} missing."
    if moves.open_sheets or moves.half:
        yield f"To log what is missing: {in_words(Advice(Step.CLOSE_THE_EVENING, {'on': str(on)}))}"
    if moves.bring_back:
        yield f"To bring back by {moves.on}:"
    for each in moves.bring_back:
        units = ", ".join(f"{unmistakable(due.unit_title)} ({last_time(due)})" for due in each.units)
        yield f"  {each.student}: {units}"
    if moves.all_right:
        yield f"Due by {moves.on} too, and all right the last time: {', '.join(moves.all_right)}."

"""What a typed line of answers, or of marks, means."""

import re
import unicodedata
from collections.abc import Iterator, Sequence

from coachbook.errors import CoachbookError
from coachbook.exercises.letters import Suggestion, suggest_letters
from coachbook.exercises.mark import mark_answer
from coachbook.model.club import ItemResult
from coachbook.model.exercise import AnswerForm, Exercise
from coachbook.model.slips import Slip
from coachbook.model.worksheet import Worksheet
from coachbook.workflows.evening import CROSS, TICK
from coachbook.workflows.tables import LONGEST_FIELD

_NUMBERED = re.compile(r"(?P<item>[1-9][0-9]?)\s*:\s*(?P<answer>.*)")
_NEXT_NUMBERED = re.compile(r";|,(?=\s*[1-9][0-9]?\s*:)")
_COMMA = re.compile(r"\s*,\s*")
_SPACED_COMMA = re.compile(r"\s*,\s+")
_NO_MOVE = (Slip.UNREADABLE, Slip.ILLEGAL, Slip.MISREAD_SIDE)
_TICKS = {"1": TICK, "+": TICK, "v": TICK, "0": CROSS, "x": CROSS, "-": "", ".": ""}


def typed_answers(sheet: Worksheet, line: str) -> dict[int, str]:
    """Answers as typed in one line: in item order, parted by semicolons (those left out are blank),
    or by spaces or commas if there is one for each item; or some items by their numbers
    ("3: Qe5; 5: 9").

    Raises CoachbookError for more answers than items, where it is not plain which is which, and for
    what a table of answers could not hold.
    """
    answers = _by_item(sheet, line)
    for answer in answers.values():
        check_typed(answer)
    return answers


def check_typed(answer: str) -> None:
    """Raises CoachbookError for an answer that a table of answers could not hold."""
    if len(answer) > LONGEST_FIELD:
        raise CoachbookError(f"An answer has more than {LONGEST_FIELD} characters.", "Shorten it.")
    if any(unicodedata.category(sign) == "Cc" for sign in answer):
        raise CoachbookError("There is a control character in the line.", "Type it again.")


def typed_ticks(sheet: Worksheet, line: str) -> dict[int, str]:
    """Ticks and crosses as typed, one sign an item: 1 right, 0 wrong, - not tried; "=" for all right.

    Raises CoachbookError for another sign, or another number of them.
    """
    signs = "".join(line.lower().split())
    if signs == "=":
        signs = "1" * len(sheet.items)
    strange = sorted(set(signs) - set(_TICKS))
    if strange:
        raise CoachbookError(
            f"'{strange[0]}' is no mark.",
            "Type 1 for right, 0 for wrong, - for not tried; or = for all right.",
        )
    if len(signs) != len(sheet.items):
        raise CoachbookError(
            f"These are {len(signs)} marks, but the sheet has {len(sheet.items)} items.", "Type one for each."
        )
    return {item: _TICKS[sign] for item, sign in enumerate(signs, start=1)}


def suggested_letters(sheet: Worksheet, results: Sequence[ItemResult]) -> Suggestion | None:
    """The letters of another language in which moves seem to be written that English ones don't make
    legal; None if there are none."""
    items = [(sheet.items[result.item - 1], result) for result in results if result.slip in _NO_MOVE]
    return suggest_letters(
        (exercise.position.fen, result.written)
        for exercise, result in items
        if exercise.answer.form is AnswerForm.MOVES
    )


def _by_item(sheet: Worksheet, line: str) -> dict[int, str]:
    numbered = [_NUMBERED.fullmatch(_tidy(part)) for part in _NEXT_NUMBERED.split(line)]
    if all(numbered):
        return {int(match["item"]): match["answer"] for match in numbered if match}
    parts = [_tidy(part) for part in line.split(";")]
    count = len(sheet.items)
    if len(parts) == 1 and count > 1:
        parts = _without_semicolons(sheet, line)
    if len(parts) > count:
        raise CoachbookError(f"These are {len(parts)} answers, but the sheet has {count} items.")
    parts += [""] * (count - len(parts))
    return dict(enumerate(parts, start=1))


def _without_semicolons(sheet: Worksheet, line: str) -> list[str]:
    """One answer for each item. Raises CoachbookError where it is not plain which is which."""
    for parts in _divided(line):
        if len(parts) == len(sheet.items) and all(map(_is_one_answer, sheet.items, parts)):
            return parts
    answers = line.replace(",", " ").split()
    between = "spaces and commas" if "," in line else "spaces"
    told = "is 1 answer" if len(answers) == 1 else f"are {len(answers)} answers"
    raise CoachbookError(
        f"The sheet has {len(sheet.items)} items, and between {between} there {told}.",
        "Put semicolons between them, or their number before one, such as '3: Qe5'.",
    )


def _divided(line: str) -> Iterator[list[str]]:
    """The ways to part a line, the likeliest first. A comma without a space may stand inside an answer,
    between several moves."""
    yield [_tidy(word) for word in line.split()]
    yield _SPACED_COMMA.split(_tidy(line))
    yield _COMMA.split(_tidy(line))


def _is_one_answer(exercise: Exercise, part: str) -> bool:
    """Whether nothing in it could belong to the item before or after: one word, or an option's words."""
    if len(part.split()) < 2:
        return True
    plain = exercise.answer.form in (AnswerForm.CHOICE, AnswerForm.NUMBER)
    return plain and mark_answer(exercise, part).slip != Slip.UNREADABLE


def _tidy(part: str) -> str:
    return part.strip().strip(",").strip()

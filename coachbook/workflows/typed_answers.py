"""What a typed line of answers, or of marks, means."""

import re
import unicodedata
from collections.abc import Iterable, Iterator, Mapping, Sequence

from coachbook.errors import CoachbookError
from coachbook.exercises.marking import mark_answer
from coachbook.exercises.notation import Suggestion, suggest_letters
from coachbook.model.facts import ItemResult
from coachbook.model.slips import Slip
from coachbook.model.worksheet import AnswerForm, Exercise, Worksheet
from coachbook.wording.exercises import option_words
from coachbook.workflows.evening_log import CROSS, TICK
from coachbook.workflows.spreadsheet import LONGEST_FIELD


def counted_off(what: str, numbers: Iterable[int]) -> str:
    """Such as "item 3", "items 3 to 5", or "lines 2, 4 and 7 to 9"; of at least one number."""
    ordered = sorted(set(numbers))
    return f"{what}{'s' if len(ordered) > 1 else ''} {listed_off(ordered)}"


def listed_off(numbers: Iterable[int]) -> str:
    """Such as "3", "4 and 5", "3 to 5", or "2, 4 and 7 to 9"; of at least one number."""
    *before, last = _runs(sorted(set(numbers)))
    return f"{', '.join(before)} and {last}" if before else last


def _runs(ordered: list[int]) -> Iterator[str]:
    """Three or more in a row as "3 to 5"."""
    start = 0
    for end in range(1, len(ordered) + 1):
        if end < len(ordered) and ordered[end] == ordered[end - 1] + 1:
            continue
        run = ordered[start:end]
        yield from [f"{run[0]} to {run[-1]}"] if len(run) > 2 else map(str, run)
        start = end


_NUMBERED = re.compile(r"(?P<item>[1-9][0-9]?)\s*:\s*(?P<answer>.*)")
_NEXT_NUMBERED = re.compile(r";|,(?=\s*[1-9][0-9]?\s*:)")
_COMMA = re.compile(r"\s*,\s*")
_SPACED_COMMA = re.compile(r"\s*,\s+")
_NO_MOVE = (Slip.UNREADABLE, Slip.ILLEGAL, Slip.MISREAD_SIDE)
_TICKS = {"1": TICK, "+": TICK, "v": TICK, "0": CROSS, "x": CROSS, "-": "", ".": ""}


def typed_answers(sheet: Worksheet, line: str, missing: Sequence[int] = ()) -> dict[int, str]:
    """Answers as typed in one line: in item order, parted by semicolons (the last ones may be left out),
    or by spaces or commas if there is one for each item; or some items by their numbers
    ("3: Qe5; 5: 9"). Where only some items are `missing`, one answer for each of these will do.

    Raises CoachbookError for more answers than items, where it is not plain which is which, and for
    what a table of answers could not hold.
    """
    answers = _by_number(line) or _in_order(sheet, line, missing)
    for answer in answers.values():
        check_typed(answer)
    return answers


def left_out(sheet: Worksheet, line: str, answers: Mapping[int, str]) -> tuple[int, ...]:
    """The last items, of which a line says nothing though it doesn't tell items by their numbers."""
    if _by_number(line):
        return ()
    return tuple(range(len(answers) + 1, len(sheet.items) + 1))


def check_typed(answer: str) -> None:
    """Raises CoachbookError for an answer that a table of answers could not hold."""
    if len(answer) > LONGEST_FIELD:
        raise CoachbookError(f"An answer has more than {LONGEST_FIELD} characters.", "Shorten it.")
    if any(unicodedata.category(sign) == "Cc" for sign in answer):
        raise CoachbookError("There is a control character in the line.", "Type it again.")


def typed_ticks(sheet: Worksheet, line: str, missing: Sequence[int] = ()) -> dict[int, str]:
    """Ticks and crosses as typed, one sign an item: 1 right, 0 wrong, - left blank; "=" for all right; or
    some items by their numbers ("3: 1; 5: 0"). Where only some items are `missing`, these are meant by
    "=" or by one sign for each of them.

    Raises CoachbookError for another sign, or another number of them.
    """
    if numbered := _by_number(line):
        return {item: _tick(sign.lower()) for item, sign in numbered.items()}
    signs = "".join(line.lower().split())
    items = missing or range(1, len(sheet.items) + 1)
    if signs == "=":
        signs = "1" * len(items)
    marks = [_tick(sign) for sign in signs]
    if len(signs) == len(sheet.items):
        items = range(1, len(sheet.items) + 1)
    if len(signs) != len(items):
        raise CoachbookError(_unlike(sheet, len(signs), "mark", missing), "Type one for each.")
    return dict(zip(items, marks, strict=True))


def _tick(sign: str) -> str:
    """What a sign stands for. Raises CoachbookError for one that stands for nothing."""
    if sign not in _TICKS:
        raise CoachbookError(
            f"'{sign[:20]}' is no mark.",
            "Type 1 for right, 0 for wrong, - for left blank; or = for all right.",
        )
    return _TICKS[sign]


def could_be(exercise: Exercise, written: str) -> tuple[str, ...]:
    """The options to tick that begin with what was written, if there are several; else ()."""
    begun = " ".join(written.casefold().split()).rstrip(".!").removeprefix("a ")
    options = tuple(
        words for words in map(option_words, exercise.answer.options) if words.casefold().startswith(begun)
    )
    return options if begun and len(options) > 1 else ()


def suggested_letters(sheet: Worksheet, results: Sequence[ItemResult]) -> Suggestion | None:
    """The letters of another language in which moves seem to be written that English ones don't make
    legal; None if there are none."""
    items = [(sheet.items[result.item - 1], result) for result in results if result.slip in _NO_MOVE]
    return suggest_letters(
        (exercise.position.fen, result.written)
        for exercise, result in items
        if exercise.answer.form is AnswerForm.MOVES
    )


def _by_number(line: str) -> dict[int, str]:
    """Answers with the numbers of their items before them; none if a part of the line has no number."""
    numbered = [_NUMBERED.fullmatch(_tidy(part)) for part in _NEXT_NUMBERED.split(line)]
    if not all(numbered):
        return {}
    return {int(match["item"]): match["answer"] for match in numbered if match}


def _in_order(sheet: Worksheet, line: str, missing: Sequence[int]) -> dict[int, str]:
    """One answer for each item, or for each missing one, or fewer parted by semicolons."""
    whole = range(1, len(sheet.items) + 1)
    # Words with spaces between may all belong to the one item that is missing.
    for items in (whole, missing) if len(missing) < 2 else (missing, whole):
        parts = _parted([sheet.items[item - 1] for item in items], line)
        if items and len(parts) == len(items):
            return dict(zip(items, parts, strict=True))
    parts = _parted(sheet.items, line)
    if len(parts) == 1:
        raise _unparted(sheet, line)
    if len(parts) > len(sheet.items) or missing:
        raise CoachbookError(_unlike(sheet, len(parts), "answer", missing))
    return dict(enumerate(parts if parts[-1] else parts[:-1], start=1))


def _unlike(sheet: Worksheet, count: int, what: str, missing: Sequence[int]) -> str:
    """That there is another number of them than items."""
    told = f"This is 1 {what}" if count == 1 else f"These are {count} {what}s"
    asked = (
        f"{counted_off('item', missing)} {'is' if len(missing) == 1 else 'are'} missing, and "
        if missing
        else ""
    )
    return f"{told}, but {asked}the sheet has {len(sheet.items)} items."


def _parted(exercises: Sequence[Exercise], line: str) -> list[str]:
    """The line parted by semicolons; without one, by spaces or commas if that gives each exercise one
    answer."""
    if ";" not in line and len(exercises) > 1:
        for parts in _divided(line):
            if len(parts) == len(exercises) and all(map(_is_one_answer, exercises, parts)):
                return parts
    return [_tidy(part) for part in line.split(";")]


def _unparted(sheet: Worksheet, line: str) -> CoachbookError:
    """That it is not plain which answer is which."""
    answers = line.replace(",", " ").split()
    between = "spaces and commas" if "," in line else "spaces"
    told = "is 1 answer" if len(answers) == 1 else f"are {len(answers)} answers"
    return CoachbookError(
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

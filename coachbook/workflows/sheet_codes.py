"""Codes of worksheets: short, without signs that look alike, and never twice in a book.

A code such as QB-4K7M2 begins with letters that tell the unit (queen-box); no two units of a syllabus
have the same. Codes of sheets that were printed under another syllabus stay as they are.
"""

from collections import Counter
from collections.abc import Iterable, Iterator
from datetime import date
from itertools import count

from coachbook.club.book import Reading
from coachbook.club.sheets import is_taken
from coachbook.errors import CoachbookError
from coachbook.exercises.generate import derived_seed
from coachbook.model.syllabus import Syllabus

REVIEW = "review"
"""What a sheet is of that belongs to no one unit."""

_LETTERS = "23456789ABCDEFGHJKMNPQRSTVWXYZ"
_LENGTH = 5
_TRIES = 100
_FEWEST = 2
"""Letters in a prefix."""


def free_code(page: Reading, syllabus: Syllabus, what: str, seed: int, made_on: date, number: int) -> str:
    """A code that no sheet of the book has yet: the prefix of `what` (a unit's code, or REVIEW), and letters
    that the seed, the day and the sheet's number decide. Raises CoachbookError.
    """
    prefix = prefixes({what, REVIEW, *(unit.code for unit in syllabus.units)})[what]
    for attempt in range(_TRIES):
        code = f"{prefix}-{_drawn(derived_seed(seed, what, str(made_on), str(number), str(attempt)))}"
        if not any(is_taken(page, code + form) for form in ("", "-A", "-B")):
            return code
    raise CoachbookError("No free sheet code was found.", "Choose another seed.")


def prefixes(codes: Iterable[str]) -> dict[str, str]:
    """A prefix for each of several codes of units, all different, whatever their order.

    Where initials are the same (king-and-pawn, knight-and-pawn) a word has one letter more, first its
    last: KGAP, KTAP. One word has its first two letters.
    """
    more = {code: _candidates(code) for code in sorted(set(codes))}
    found = {code: next(candidates) for code, candidates in more.items()}
    while twice := {prefix for prefix, times in Counter(found.values()).items() if times > 1}:
        found |= {code: next(more[code]) for code, prefix in found.items() if prefix in twice}
    return found


def _candidates(code: str) -> Iterator[str]:
    """Without end, each longer or stranger than those before; no two codes have all of them in common."""
    words = ["".join(sign for sign in word.upper() if sign in _LETTERS) for word in code.split("-")]
    words = [word for word in words if word]
    initials = [word[0] for word in words]
    longest, way = max(map(len, words), default=0), 1 if len(words) == 1 else -1
    longer = (
        "".join([*initials[:place], word[0] + word[way * step], *initials[place + 1 :]])
        for step in range(1, longest)
        for place, word in enumerate(words)
        if step < len(word)
    )
    yield from (each for each in ("".join(initials), *longer) if len(each) >= _FEWEST)
    for attempt in count():
        yield "".join(initials) + _drawn(derived_seed(attempt, code))[:_FEWEST]


def _drawn(number: int) -> str:
    """Letters that a number decides."""
    letters = ""
    for _ in range(_LENGTH):
        number, index = divmod(number, len(_LETTERS))
        letters += _LETTERS[index]
    return letters

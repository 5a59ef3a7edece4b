"""Codes of worksheets: short, without signs that look alike, and never twice in a book."""

from datetime import date

from coachbook.club.book import Reading
from coachbook.club.sheets import is_taken
from coachbook.errors import CoachbookError
from coachbook.exercises.generate import derived_seed

_LETTERS = "23456789ABCDEFGHJKMNPQRSTVWXYZ"
_LENGTH = 5
_TRIES = 100


def free_code(page: Reading, what: str, seed: int, made_on: date, number: int) -> str:
    """A code such as QB-4K7M2 that no sheet of the book has yet: the initials of `what` (queen-box), and
    letters that the seed, the day and the sheet's number decide. Raises CoachbookError.
    """
    initials = "".join(word[0] for word in what.upper().split("-"))
    for attempt in range(_TRIES):
        rest = derived_seed(seed, what, str(made_on), str(number), str(attempt))
        letters = ""
        for _ in range(_LENGTH):
            rest, index = divmod(rest, len(_LETTERS))
            letters += _LETTERS[index]
        code = f"{initials}-{letters}"
        if not any(is_taken(page, code + form) for form in ("", "-A", "-B")):
            return code
    raise CoachbookError("No free sheet code was found.", "Choose another seed.")

"""Names of files: of different students, or groups, always different ones."""

import unicodedata
from collections.abc import Iterable

from coachbook.club.book import Book
from coachbook.club.names import JOINERS, name_key
from coachbook.club.students import list_students, student_named

_LONGEST = 150
"""In bytes of UTF-8: a file system takes 255, of which a report's name needs some."""


def file_names(names: Iterable[str]) -> dict[str, str]:
    """By name: what to call a file of that student or group, without an ending, such as "anna-lena".

    Letters, marks and digits of all scripts stay, anything else is a hyphen. Where two would be the same,
    whatever their case and Unicode form, the later one of `names` has a number after it.
    """
    found: dict[str, str] = {}
    taken: set[str] = set()
    for name in names:
        bare, number = _bare(name), 1
        told = bare
        while name_key(told) in taken:
            number += 1
            told = f"{bare}-{number}"
        taken.add(name_key(told))
        found[name] = told
    return found


def file_name_of(book: Book, student: str) -> str:
    """What to call a file of a student: numbers go by who came into the book first, so that one who is
    added changes nothing. Raises CoachbookError for an unknown one."""
    with book.reading() as page:
        name = student_named(page, student).name
        by_age = sorted(list_students(page), key=lambda each: each.id)
    return file_names(each.name for each in by_age)[name]


def _bare(name: str) -> str:
    lower = unicodedata.normalize("NFC", name.lower())
    seen = (sign for sign in lower if sign not in JOINERS)
    told = "".join(sign if unicodedata.category(sign)[0] in "LMN" else "-" for sign in seen)
    return told.encode()[:_LONGEST].decode(errors="ignore")

"""Names of students, groups and the club: what is a name, and when two are the same."""

import difflib
import re
import unicodedata
from collections.abc import Iterable
from functools import cached_property

from coachbook.errors import CoachbookError

LONGEST_NAME = 60
"""In characters: more does not fit on the name line of a sheet."""

# Joiners are part of the spelling in some scripts, though they cannot be seen.
JOINERS = "\u200c\u200d"
_ACCENTS = re.compile("[\u0300-\u036f]")
# Letters of Latin scripts that Unicode does not take apart into a letter and an accent.
_PLAIN = str.maketrans(
    {
        "ł": "l",
        "ø": "o",
        "đ": "d",
        "ð": "d",
        "þ": "th",
        "ħ": "h",
        "ŧ": "t",
        "ŋ": "n",
        "\N{LATIN SMALL LETTER DOTLESS I}": "i",
    }
    | {"æ": "ae", "œ": "oe", "ə": "e", "\N{RIGHT SINGLE QUOTATION MARK}": "'"}
)
# Letters to Unicode (fillers of Korean syllables) that show nothing.
_FILLERS = frozenset(map(chr, (0x115F, 0x1160, 0x3164, 0xFFA0)))
_UNPRINTABLE = {"Cc", "Cf", "Cs", "Co", "Cn", "Zl", "Zp"}


def clean_name(text: str, what: str) -> str:
    """The name as it is kept: Unicode NFC, single spaces. `what` stands in the error ("student").

    Raises CoachbookError for a name without a letter or digit, with a control or other
    unprintable character, or longer than LONGEST_NAME.
    """
    for letter in text:
        if _is_unseen(letter):
            raise CoachbookError(
                f"The {what}'s name {text[:LONGEST_NAME]!a} holds a character that cannot be printed.",
                f"Take out the character U+{ord(letter):04X}.",
            )
    name = " ".join(unicodedata.normalize("NFC", text).split())
    if not any(letter.isalnum() for letter in name):
        raise CoachbookError(f"A {what} needs a name with a letter or a digit, not '{name[:LONGEST_NAME]}'.")
    if len(name) > LONGEST_NAME:
        raise CoachbookError(
            f"The {what}'s name '{name[:20]}...' has {len(name)} characters.",
            f"Use at most {LONGEST_NAME}.",
        )
    return name


def _is_unseen(sign: str) -> bool:
    return sign in _FILLERS or (unicodedata.category(sign) in _UNPRINTABLE and sign not in JOINERS)


def name_key(text: str) -> str:
    """Equal for names that count as the same: whatever their case, spaces, joiners or Unicode form.

    The folding is Unicode's canonical caseless match (The Unicode Standard, section 3.13, D145).
    """
    seen = "".join(letter for letter in " ".join(text.split()) if letter not in JOINERS)
    return unicodedata.normalize("NFD", unicodedata.normalize("NFD", seen).casefold())


def plain_key(text: str) -> str:
    """As `name_key`, and equal too for names that differ in accents only ("Zoe" and "Zoë").

    Only accents of Latin, Greek and Cyrillic letters are left out; in other scripts the signs above and
    below a letter are vowels.
    """
    return unicodedata.normalize("NFD", _ACCENTS.sub("", name_key(text)).translate(_PLAIN))


def find_named(asked: str, names: Iterable[str]) -> str | None:
    """The name that is meant: as it is spelt, else without accents. None if there is no such name.

    Raises CoachbookError if without accents it could be several.
    """
    known = list(names)
    exact = next((name for name in known if name_key(name) == name_key(asked)), None)
    if exact is not None:
        return exact
    alike = [name for name in known if plain_key(name) == plain_key(asked)]
    if len(alike) > 1:
        raise CoachbookError(f"'{asked}' could be {' or '.join(sorted(alike))}.", "Write the accents too.")
    return alike[0] if alike else None


class Roll:
    """The names of one sort that the book holds, each with the id of its row."""

    def __init__(self, what: str, ids: Iterable[tuple[str, int]]) -> None:
        self._what = what
        self._ids = dict(ids)

    @cached_property
    def _by_key(self) -> dict[str, tuple[str, int]]:
        return {name_key(name): (name, row_id) for name, row_id in self._ids.items()}

    def check_free(self, name: str) -> None:
        """Raises CoachbookError if there is one with this name."""
        if name_key(name) in self._by_key:
            taken = self._by_key[name_key(name)][0]
            raise CoachbookError(f"There is already a {self._what} '{taken}'.", "Choose another name.")

    def id_of(self, name: str) -> int:
        """The id of the one with this name. Raises CoachbookError, with the nearest name, if there is
        none."""
        return self._find(name)[1]

    def name_of(self, name: str) -> str:
        """The name as it is kept. Raises CoachbookError, with the nearest name, if there is none."""
        return self._find(name)[0]

    def _find(self, name: str) -> tuple[str, int]:
        if name in self._ids:
            return name, self._ids[name]
        found = self._by_key.get(name_key(name))
        if found is not None:
            return found
        names = [known for known, _ in self._by_key.values()]
        meant = find_named(name, names)
        if meant is None:
            raise no_such(self._what, name, names)
        return self._by_key[name_key(meant)]


def no_such(what: str, asked: str, known: Iterable[str]) -> CoachbookError:
    """The error for a name or code that the book does not hold, with the nearest one it does."""
    names = list(known)
    near = find_near(asked, names)
    if near is not None:
        hint = f"Did you mean '{near}'?"
    elif names:
        hint = "Check the spelling."
    else:
        hint = f"The book has no {what} yet."
    return CoachbookError(f"There is no {what} '{asked}'.", hint)


def find_near(asked: str, known: Iterable[str], alike: float = 0.6) -> str | None:
    """The name that is most like the one asked for, None if none is `alike` (1 is the same)."""
    by_key = {name_key(name): name for name in known}
    near = difflib.get_close_matches(name_key(asked), by_key, n=1, cutoff=alike)
    return by_key[near[0]] if near else None

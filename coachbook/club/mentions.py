"""Finding a name in what somebody wrote."""

import unicodedata
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from functools import lru_cache
from itertools import groupby

from coachbook.club.names import JOINERS, name_key

_UNSPACED = ("CJK", "HIRAGANA", "KATAKANA", "HANGUL", "THAI", "LAO", "KHMER", "MYANMAR", "TIBETAN")
"""Scripts that write words, or the little words after a name, without a space (by Unicode's letter names)."""

Place = tuple[int, int]
"""Where a name starts in a text, and where what follows it starts."""


@dataclass(frozen=True, slots=True)
class Span:
    """A stretch of a text, from `start` to before `end`, that names a student, or (if not `is_exact`)
    may do so."""

    start: int
    end: int
    is_exact: bool


def whole_names(text: str, name: str, others: Iterable[str] = ()) -> list[Place]:
    """Each place where a text holds a name, whatever its case, spaces and Unicode form.

    It is there as a word (as `name_key` has it); within a longer name of the `others` it is theirs.
    Where a script puts no spaces between words, a name of two letters or more is found anywhere.
    """
    key = _key(name)
    if not key or key not in _key(text):
        return []
    longer = (other for other in others if key != _key(other) and key in _key(other))
    theirs = [place for other in longer for place in whole_names(text, other)]
    return [
        (start, after)
        for start, after in _words(text, *_folded(text), key)
        if not any(begin <= start and after <= end for begin, end in theirs)
    ]


def with_replaced(text: str, spans: Iterable[Span], by: str) -> str:
    """The text with each of the spans, which are in order, replaced."""
    end = 0
    parts = []
    for span in spans:
        parts += [text[end : span.start], by]
        end = span.end
    return "".join([*parts, text[end:]])


_key = lru_cache(maxsize=10_000)(name_key)


@lru_cache(maxsize=10_000)
def words_of(text: str) -> tuple[Place, ...]:
    """Where each word of a text is: letters and digits with what belongs to them."""
    places = []
    for is_word, signs in groupby(enumerate(text), lambda sign: is_of_a_word(sign[1])):
        if is_word:
            found = [at for at, _ in signs]
            places.append((found[0], found[-1] + 1))
    return tuple(places)


def is_unspaced(sign: str) -> bool:
    """Whether a letter is of a script that puts no spaces between words, or before little words."""
    return unicodedata.name(sign, "").startswith(_UNSPACED)


def _words(text: str, folded: str, starts: list[int | None], key: str) -> Iterator[Place]:
    at = folded.find(key)
    while at >= 0:
        start, after = starts[at], starts[at + len(key)]
        if start is not None and after is not None and _is_word(text, start, after):
            yield start, after
            at = folded.find(key, at + len(key))
        else:
            at = folded.find(key, at + 1)


def _folded(text: str) -> tuple[str, list[int | None]]:
    """The text as `name_key` would have it, and where each of its letters starts in the text; None
    for one that is the continuation of another. The last entry is the text's length."""
    folded, starts = "", list[int | None]()
    for start, piece in _letters(text):
        space = "" if folded.endswith(" ") else " "
        key = space if piece.isspace() else name_key(piece)
        folded += key
        starts += [start, *[None] * (len(key) - 1)] if key else []
    return folded, [*starts, len(text)]


def _letters(text: str) -> Iterator[tuple[int, str]]:
    """Each letter with the marks that belong to it, and where it starts."""
    start = 0
    for at in range(1, len(text) + 1):
        if at == len(text) or not _belongs_to_the_letter_before(text[at]):
            yield start, text[start:at]
            start = at


def _belongs_to_the_letter_before(sign: str) -> bool:
    is_rest_of_syllable = "\u1160" <= sign <= "\u11ff"  # Korean, written in its parts
    return is_rest_of_syllable or sign in JOINERS or unicodedata.category(sign).startswith("M")


def _is_word(text: str, start: int, after: int) -> bool:
    word = text[start:after]
    is_single = len(list(_letters(word))) == 1
    return not (
        (start > 0 and _are_joined(text[start - 1], word[0], is_single))
        or (after < len(text) and _are_joined(word[-1], text[after], is_single))
    )


def _are_joined(left: str, right: str, is_single: bool) -> bool:
    if not (is_of_a_word(left) and is_of_a_word(right)):
        return False
    return is_single or not (is_unspaced(left) or is_unspaced(right))


def is_of_a_word(sign: str) -> bool:
    """Whether a sign is a letter, a digit, or a mark on one."""
    return sign.isalnum() or unicodedata.category(sign).startswith("M") or sign in JOINERS

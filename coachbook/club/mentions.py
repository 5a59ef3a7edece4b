"""Finding a name in what somebody wrote."""

import unicodedata
from collections.abc import Iterable, Iterator

from coachbook.club.names import JOINERS, name_key

_UNSPACED = ("CJK", "HIRAGANA", "KATAKANA", "HANGUL", "THAI", "LAO", "KHMER", "MYANMAR", "TIBETAN")
"""Scripts that write words, or the little words after a name, without a space (by Unicode's letter names)."""

Span = tuple[int, int]
"""Where a mention starts in a text, and where what follows it starts."""


def is_mentioned(text: str, name: str, others: Iterable[str] = ()) -> bool:
    """Whether a text holds a name; see `with_name_replaced`."""
    return bool(_mentions(text, name, others))


def with_name_replaced(text: str, name: str, by: str, others: Iterable[str] = ()) -> str:
    """The text with each mention of a name replaced.

    A mention is the name as a word, whatever its case, spaces and Unicode form (as `name_key`
    has it); within a longer name of the `others` it is theirs, and stays. Where a script puts
    no spaces between words, a name of two letters or more is found anywhere.
    """
    end = 0
    parts = []
    for start, after in _mentions(text, name, others):
        parts += [text[end:start], by]
        end = after
    return "".join([*parts, text[end:]])


def _mentions(text: str, name: str, others: Iterable[str]) -> list[Span]:
    key = name_key(name)
    if key not in name_key(text):
        return []
    folded, starts = _folded(text)
    theirs = [
        span
        for other in others
        if key != name_key(other) and key in name_key(other)
        for span in _words(text, folded, starts, name_key(other))
    ]
    return [
        (start, after)
        for start, after in _words(text, folded, starts, key)
        if not any(begin <= start and after <= end for begin, end in theirs)
    ]


def _words(text: str, folded: str, starts: list[int | None], key: str) -> Iterator[Span]:
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
    if not (_is_of_a_word(left) and _is_of_a_word(right)):
        return False
    return is_single or not (_is_unspaced(left) or _is_unspaced(right))


def _is_of_a_word(sign: str) -> bool:
    return sign.isalnum() or unicodedata.category(sign).startswith("M") or sign in JOINERS


def _is_unspaced(sign: str) -> bool:
    return unicodedata.name(sign, "").startswith(_UNSPACED)

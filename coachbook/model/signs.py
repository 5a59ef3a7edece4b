"""Signs that are no text: a terminal would obey them, or show the letters around them in another order."""

import unicodedata

JOINERS = "\u200c\u200d"
"""They are part of the spelling in some scripts, though they cannot be seen."""


def first_hidden(text: str) -> str:
    """The first sign that is neither printable, a space nor a joiner, such as U+001B or U+202E; or ""."""
    if text.isprintable():
        return ""
    return next((sign for sign in text if _is_hidden(sign)), "")


def without_hidden(text: str) -> str:
    """The text with a space for each hidden sign but line ends."""
    if text.isprintable():
        return text
    return "".join(" " if sign != "\n" and _is_hidden(sign) else sign for sign in text)


def _is_hidden(sign: str) -> bool:
    return not (sign.isprintable() or sign in JOINERS or unicodedata.category(sign) == "Zs")

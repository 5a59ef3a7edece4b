"""Reading a number as a child writes it: "9", "nine", "9 squares", "3 by 3: 9"."""

import re

_ONES = (  # noqa: SIM905 - easier to read than twenty lines
    "zero one two three four five six seven eight nine ten eleven twelve thirteen fourteen fifteen "
    "sixteen seventeen eighteen nineteen"
).split()
_TENS = ("twenty", "thirty", "forty", "fifty", "sixty")
_WORDS = dict(zip(_ONES, range(20), strict=True)) | {
    f"{ten} {_ONES[ones]}" if ones else ten: 20 + 10 * tens + ones
    for tens, ten in enumerate(_TENS)
    for ones in range(10)
}
_SIDES = r"\d+ ?(?:x|\N{MULTIPLICATION SIGN}|\*|by|times) ?\d+ ?[=:]"
_NUMBER = re.compile(
    rf"(?:{_SIDES})? ?=? ?(\d{{1,3}}|{'|'.join(reversed(_WORDS))})(?: ?squares?| ?sq)?[ .!]*"
)


def read_number(written: str) -> int | None:
    """The number, 0 to 999 (in words: to 69), or None if the text is no number or leaves a doubt."""
    found = _NUMBER.fullmatch(" ".join(written.lower().replace("-", " ").split()))
    if found is None:
        return None
    number = found[1]
    return _WORDS[number] if number in _WORDS else int(number)

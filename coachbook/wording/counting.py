"""Numbers, plurals and lists in English: the one place that knows how they are made."""

from collections.abc import Iterable

_NUMBERS = ("no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten")
_TIMES = {1: "once", 2: "twice"}


def number_word(number: int) -> str:
    """Up to ten as a word ("three"), else in figures."""
    return _NUMBERS[number] if 0 < number < len(_NUMBERS) else str(number)


def plural(number: int, one: str, several: str = "") -> str:
    """The noun that goes with a number: `one`, or `several` (by default `one` with an s)."""
    return one if number == 1 else several or f"{one}s"


def counted(number: int, one: str, several: str = "") -> str:
    """Such as "1 evening" or "3 evenings"."""
    return f"{number} {plural(number, one, several)}"


def times(number: int) -> str:
    """Such as "once", "twice" or "3 times"."""
    return _TIMES.get(number, f"{number} times")


def listed(items: Iterable[object], last: str = "and") -> str:
    """Such as "a", "a and b" or "a, b and c"; "" of nothing."""
    words = [str(item) for item in items]
    if len(words) < 2:
        return "".join(words)
    return f"{', '.join(words[:-1])} {last} {words[-1]}"


def capitalised(words: str) -> str:
    """With a capital at its beginning; the rest as it is."""
    return words[:1].upper() + words[1:]


def quoted(title: str) -> str:
    """A title in quotation marks."""
    return f"\N{LEFT DOUBLE QUOTATION MARK}{title}\N{RIGHT DOUBLE QUOTATION MARK}"

"""Typed readers of one TOML table: each takes a key, or notes what is wrong and goes on.

A reader that finds a mistake returns an empty value (`""`, `0`, `()`), so that one pass
over a file finds all its mistakes. Whoever reads must look at the problems before the values.
"""

import re
from dataclasses import dataclass, field

from coachbook.model.reading import Problem, first_hidden

LONGEST_TEXT = 1000
"""In characters: what is longer is no sentence to be said or printed."""

MOST_OF_A_LIST = 100

_CODE = re.compile(r"[a-z0-9]+(-[a-z0-9]+)*")


@dataclass(slots=True)
class Fields:
    """One table of a file; `where` is its path in dots, "" for the whole file.

    Tables of a list count from 1, as a coach counts: `unit[2]` is the second unit.
    `problems` is shared by all tables of a file and only ever added to.
    """

    table: dict[str, object]
    file: str
    where: str
    problems: list[Problem]
    taken: list[str] = field(default_factory=list)

    def note(self, key: str, message: str) -> None:
        """Note a mistake at `key` of this table."""
        self.problems.append(Problem(self.file, self.path(key), message))

    def path(self, key: str) -> str:
        """The path of `key` from the top of the file, such as `unit[2].minutes`."""
        return f"{self.where}.{key}" if self.where else key

    def take_text(self, key: str) -> str:
        """A text that is not empty; line breaks and runs of spaces become one space."""
        return self._text(self._take(key), key)

    def take_optional_text(self, key: str) -> str:
        """A text as with `take_text`, or "" if the key is left out."""
        if key not in self.table:
            self.taken.append(key)
            return ""
        return self.take_text(key)

    def take_code(self, key: str) -> str:
        """A code: lower-case letters, digits and single hyphens."""
        text = self.take_text(key)
        if text and not _CODE.fullmatch(text):
            self.note(key, f"a code has lower-case letters, digits and hyphens, not '{text}'")
            return ""
        return text

    def take_int(self, key: str, low: int, high: int) -> int:
        """A whole number from `low` to `high`."""
        value = self._take(key)
        expected = f"expected a whole number from {low} to {high}"
        if value is None:
            return 0
        if not isinstance(value, int) or isinstance(value, bool) or not low <= value <= high:
            self.note(key, f"{expected}, not {_shown(value)}")
            return 0
        return value

    def take_optional_int(self, key: str, low: int, high: int) -> int:
        """A whole number as with `take_int`, or `low` if the key is left out."""
        if key not in self.table:
            self.taken.append(key)
            return low
        return self.take_int(key, low, high)

    def take_share(self, key: str) -> float:
        """A number from 0 to 1."""
        value = self._take(key)
        if value is None:
            return 0.0
        if not isinstance(value, int | float) or isinstance(value, bool) or not 0 <= value <= 1:
            self.note(key, f"expected a number from 0 to 1, such as 0.8, not {_shown(value)}")
            return 0.0
        return float(value)

    def take_texts(self, key: str, *, at_least: int) -> tuple[str, ...]:
        """A list of texts, none of them empty or written twice; with `at_least` 0 it may be left out."""
        items = self._list(key, at_least, "texts")
        texts = [self._text(item, f"{key}[{number}]") for number, item in enumerate(items, start=1)]
        for number, text in enumerate(texts):
            if text and text in texts[:number]:
                self.note(f"{key}[{number + 1}]", f"'{text}' is there twice")
        return tuple(text for text in texts if text)

    def take_table(self, key: str) -> "Fields":
        """A table below this one. If there is none that is noted, and nothing of what it lacks."""
        value = self._take(key)
        if isinstance(value, dict):
            return self._below(key, value)
        if value is not None:
            self.note(key, f"expected a table, not {_shown(value)}")
        return Fields({}, self.file, self.path(key), problems=[])

    def take_tables(self, key: str, *, at_least: int) -> "tuple[Fields, ...]":
        """A list of tables, written as [[...]]; with `at_least` 0 it may be left out."""
        found = []
        for number, item in enumerate(self._list(key, at_least, "tables"), start=1):
            if isinstance(item, dict):
                found.append(self._below(f"{key}[{number}]", item))
            else:
                self.note(f"{key}[{number}]", f"expected a table, not {_shown(item)}")
        return tuple(found)

    def close(self) -> None:
        """Note every key that no reader has asked for. Call when all are taken."""
        known = ", ".join(self.taken)
        for key in self.table:
            if key not in self.taken:
                self.note(key, f"is not a key that is known here; known are: {known}")

    def _take(self, key: str) -> object:
        """The value of `key`; None, noted, if it is missing (TOML itself has no null)."""
        self.taken.append(key)
        if key not in self.table:
            self.note(key, "is missing")
            return None
        return self.table[key]

    def _text(self, value: object, key: str) -> str:
        if value is None:
            return ""
        if not isinstance(value, str):
            self.note(key, f"expected a text in quotes, not {_shown(value)}")
            return ""
        text = " ".join(value.split())
        if not text:
            self.note(key, "the text is empty")
        elif hidden := first_hidden(text):
            self.note(key, f"the sign U+{ord(hidden):04X} cannot be printed; take it out")
            return ""
        elif len(text) > LONGEST_TEXT:
            self.note(key, f"the text has {len(text)} characters; at most {LONGEST_TEXT} are allowed")
            return ""
        return text

    def _list(self, key: str, at_least: int, of_what: str) -> list[object]:
        if at_least == 0 and key not in self.table:
            self.taken.append(key)
            return []
        value = self._take(key)
        if value is None:
            return []
        if not isinstance(value, list):
            self.note(key, f"expected a list of {of_what}, not {_shown(value)}")
            return []
        if len(value) < at_least:
            self.note(key, f"expected at least {at_least} of them, not {len(value)}")
        if len(value) > MOST_OF_A_LIST:
            self.note(key, f"expected at most {MOST_OF_A_LIST} of them, not {len(value)}")
            return []
        return value

    def _below(self, key: str, table: dict[str, object]) -> "Fields":
        return Fields(table, self.file, self.path(key), self.problems)


def _shown(value: object) -> str:
    """A wrong value as a coach knows it, cut short."""
    if isinstance(value, dict):
        return "a table"
    if isinstance(value, list):
        return "a list"
    text = f"'{value}'" if isinstance(value, str) else str(value).lower()
    return text if len(text) <= 40 else f"{text[:37]}..."

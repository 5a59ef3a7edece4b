"""Tables for a spreadsheet, which takes no cell for a formula, and what such a cell was before.

A text that a spreadsheet would work out gets an apostrophe in front (common practice, no source).
"""

import csv
import io
import re
from collections.abc import Iterable, Sequence

# The wide signs are taken for the others by some; a dash alone, and a number, are harmless.
_FORMULA = re.compile(r"'*(?!-?\Z|[+-]\d+([.,]\d+)?\Z)[=+\-@\t\r\uff1d\uff0b\uff0d\uff20]")


def table_text(rows: Iterable[Sequence[object]], line_end: str = "\n") -> str:
    """Rows as CSV, with commas (RFC 4180)."""
    text = io.StringIO()
    table = csv.writer(text, lineterminator=line_end)
    table.writerows([cell(str(value)) for value in row] for row in rows)
    return text.getvalue()


def cell(text: str) -> str:
    """A text as it is written into a cell."""
    return f"'{text}" if _FORMULA.match(text) else text


def text_of(written: str) -> str:
    """The text that was written into a cell."""
    return written.removeprefix("'") if _FORMULA.match(written) else written

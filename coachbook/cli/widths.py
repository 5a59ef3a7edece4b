"""How wide the columns of a table may be on a narrow terminal: words are never cut."""

from collections.abc import Callable, Sequence

GAP = 3
"""Between two columns of a table on a terminal."""


def column_widths(
    rows: Sequence[Sequence[str]], width: int, measure: Callable[[str], int] = len
) -> list[int] | None:
    """The width of each column, so that all together are at most `width` wide and break at spaces only;
    None if that cannot be. `measure` tells how wide a text is."""
    columns = list(zip(*rows, strict=True))
    widths = [max(map(measure, column)) for column in columns]
    least = [max(measure(word) for text in column for word in (text.split() or [""])) for column in columns]
    room = width - GAP * (len(columns) - 1)
    while sum(widths) > room:
        number = max(range(len(widths)), key=lambda each: (widths[each] - least[each], widths[each]))
        if widths[number] == least[number]:
            return None
        widths[number] -= 1
    return widths

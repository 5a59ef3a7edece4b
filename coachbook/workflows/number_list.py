"""Numbers of items and lines in words."""

from collections.abc import Iterable, Iterator


def counted_off(what: str, numbers: Iterable[int]) -> str:
    """Such as "item 3", "items 3 to 5", or "lines 2, 4 and 7 to 9"; of at least one number."""
    ordered = sorted(set(numbers))
    return f"{what}{'s' if len(ordered) > 1 else ''} {listed_off(ordered)}"


def listed_off(numbers: Iterable[int]) -> str:
    """Such as "3", "4 and 5", "3 to 5", or "2, 4 and 7 to 9"; of at least one number."""
    *before, last = _runs(sorted(set(numbers)))
    return f"{', '.join(before)} and {last}" if before else last


def _runs(ordered: list[int]) -> Iterator[str]:
    """Three or more in a row as "3 to 5"."""
    start = 0
    for end in range(1, len(ordered) + 1):
        if end < len(ordered) and ordered[end] == ordered[end - 1] + 1:
            continue
        run = ordered[start:end]
        yield from [f"{run[0]} to {run[-1]}"] if len(run) > 2 else map(str, run)
        start = end

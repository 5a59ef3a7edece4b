"""What a sheet has on it besides the unit that it is called after."""

from itertools import groupby

from coachbook.model.worksheet import Worksheet


def told_mix(sheet: Worksheet) -> str:
    """Which items are of other units: "Also: mate or stalemate (1 to 5), two majors (9)"; "" if none is.

    A sheet holds no title but its own, so these units are told by the words of their codes.
    """
    numbers: dict[str, list[int]] = {}
    for number, item in enumerate(sheet.items, start=1):
        if item.unit != sheet.unit:
            numbers.setdefault(item.unit, []).append(number)
    others = [f"{unit.replace('-', ' ')} ({_ranges(told)})" for unit, told in numbers.items()]
    return f"Also: {', '.join(others)}" if others else ""


def _ranges(numbers: list[int]) -> str:
    """Rising numbers in short: "1 to 3, 5"."""
    runs = [
        [number for _, number in run]
        for _, run in groupby(enumerate(numbers), lambda placed: placed[1] - placed[0])
    ]
    return ", ".join(str(run[0]) if len(run) == 1 else f"{run[0]} to {run[-1]}" for run in runs)

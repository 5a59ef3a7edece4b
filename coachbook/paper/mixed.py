"""What a sheet has on it besides the unit that it is called after."""

from itertools import groupby

from coachbook.model.worksheet import Worksheet


def told_mix(sheet: Worksheet) -> str:
    """Which items are of which other units: "Also: Mate in one (1 to 5), Two big pieces (9)"; "" if none is.

    A sheet that is not called after its own unit (such as "Review") tells all of them.
    """
    is_its_own = sheet.title_of(sheet.unit) == sheet.unit_title
    numbers: dict[str, list[int]] = {}
    for number, item in enumerate(sheet.items, start=1):
        if item.unit != sheet.unit or not is_its_own:
            numbers.setdefault(item.unit, []).append(number)
    told = ", ".join(f"{sheet.title_of(unit)} ({_ranges(items)})" for unit, items in numbers.items())
    return f"{'Also' if is_its_own else 'From'}: {told}" if told else ""


def _ranges(numbers: list[int]) -> str:
    """Rising numbers in short: "1 to 3, 5"."""
    runs = [
        [number for _, number in run]
        for _, run in groupby(enumerate(numbers), lambda placed: placed[1] - placed[0])
    ]
    return ", ".join(str(run[0]) if len(run) == 1 else f"{run[0]} to {run[-1]}" for run in runs)

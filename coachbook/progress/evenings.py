"""Gathers marked answers into evenings: what one student did in one unit on one date."""

from collections import defaultdict
from collections.abc import Iterable
from datetime import date

from coachbook.model.club import ItemResult
from coachbook.model.progress import Evening


def evenings_by_unit(results: Iterable[ItemResult]) -> dict[str, tuple[Evening, ...]]:
    """One student's evenings by unit code, in order of date.

    All sheets of a unit on one date are one evening, and the order of `results` does not
    matter. A blank answer counts as tried and not right: it costs at most one review too many,
    while leaving it out could call a unit secure that is not.
    """
    gathered: defaultdict[str, defaultdict[date, list[ItemResult]]] = defaultdict(lambda: defaultdict(list))
    for result in sorted(results, key=lambda result: (result.on, result.sheet, result.item)):
        gathered[result.unit][result.on].append(result)
    return {
        unit: tuple(_evening(on, answers) for on, answers in by_date.items())
        for unit, by_date in gathered.items()
    }


def _evening(on: date, answers: list[ItemResult]) -> Evening:
    right = sum(answer.right for answer in answers)
    slips = tuple(answer.slip for answer in answers if answer.slip)
    return Evening(on, right, len(answers), slips)

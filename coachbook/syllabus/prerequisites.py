"""What holds between units: each code once, and nothing asks for what comes later."""

from dataclasses import dataclass

from coachbook.model.reading import Problem
from coachbook.model.syllabus import Unit


@dataclass(frozen=True, slots=True)
class PlacedUnit:
    """A unit with the file and key where it was read."""

    unit: Unit
    file: str
    where: str

    def problem(self, key: str, message: str) -> Problem:
        return Problem(self.file, f"{self.where}.{key}", message)


def between_units(placed: tuple[PlacedUnit, ...]) -> tuple[Problem, ...]:
    """Double codes, unknown prerequisites, prerequisites of a later level, and circles."""
    first: dict[str, PlacedUnit] = {}
    problems: list[Problem] = []
    for each in placed:
        earlier = first.setdefault(each.unit.code, each)
        if earlier is not each and each.unit.code:
            message = f"'{each.unit.code}' is already the code of {earlier.where} in {earlier.file}"
            problems.append(each.problem("code", message))
    for each in placed:
        problems += _of_prerequisites(each, first)
    return tuple(problems)


def _of_prerequisites(each: PlacedUnit, first: dict[str, PlacedUnit]) -> list[Problem]:
    problems = []
    for code in each.unit.prerequisites:
        needed = first.get(code)
        if needed is None:
            known = ", ".join(sorted(code for code in first if code))
            message = f"there is no unit '{code}'; known are: {known}"
        elif 0 < each.unit.level < needed.unit.level:  # 0: its level could not be read
            message = f"'{code}' is of a later level ({needed.unit.level})"
        elif each.unit.code in _all_needed_for(code, first):
            message = f"'{code}' and '{each.unit.code}' ask for each other: one must come first"
        else:
            continue
        problems.append(each.problem("prerequisites", message))
    return problems


def _all_needed_for(code: str, first: dict[str, PlacedUnit]) -> frozenset[str]:
    """`code` and all that it builds on, however far down."""
    needed: set[str] = set()
    ahead = [code]
    while ahead:
        here = ahead.pop()
        if here in first and here not in needed:
            needed.add(here)
            ahead += first[here].unit.prerequisites
    return frozenset(needed)

"""What goes on a worksheet: fresh exercises, and on a student's own sheet some that are due for review."""

from collections.abc import Iterable, Iterator
from contextlib import contextmanager, suppress
from dataclasses import replace
from datetime import date

from coachbook.club.book import Reading
from coachbook.club.evenings import evenings
from coachbook.club.sheets import used_keys
from coachbook.errors import CoachbookError
from coachbook.exercises.forms import Forms, make_forms
from coachbook.exercises.generate import SupplyExhaustedError, derived_seed, make_items
from coachbook.model.exercise import Exercise
from coachbook.model.syllabus import Syllabus, Unit
from coachbook.progress.advice import review_advice
from coachbook.workflows.sheet_request import SheetRequest


def sheet_items(
    page: Reading, syllabus: Syllabus, request: SheetRequest, number: int, students: tuple[str, ...]
) -> tuple[Exercise, ...]:
    """The coach's own positions or what is due for review first, then new material. Raises CoachbookError."""
    used = used_by(page, students)
    if request.own:
        _check_own(request.own, used)
    seed = derived_seed(request.seed, request.unit.code, str(number))
    due = request.own
    if request.most_reviewed > 0:
        units = _due_units(page, syllabus, students[0], request.made_on)
        others = tuple(unit for unit in units if unit.code != request.unit.code)
        due = _review_items(others, request.most_reviewed, seed, used)
    with _told_whose(students):
        new = request.items - len(due)
        return due + make_items(request.unit, new, seed, used | {item.key for item in due})


def titles_on(syllabus: Syllabus, items: Iterable[Exercise]) -> tuple[tuple[str, str], ...]:
    """The codes and titles of the units of items, each once, in order."""
    return tuple((code, syllabus.unit(code).title) for code in dict.fromkeys(item.unit for item in items))


def _check_own(own: tuple[Exercise, ...], used: frozenset[str]) -> None:
    keys = [exercise.key for exercise in own]
    for number, exercise in enumerate(own):
        if exercise.key in used or exercise.key in keys[:number]:
            raise CoachbookError(
                f"'{exercise.position.fen}' was on a sheet before, perhaps turned or mirrored.",
                "Take it out.",
            )


def form_items(page: Reading, request: SheetRequest) -> Forms:
    """Two parallel forms, new to every one of the students. Raises CoachbookError."""
    seed = derived_seed(request.seed, request.unit.code, "forms")
    with _told_whose(request.students):
        return make_forms(request.unit, request.items, seed, used_by(page, request.students))


def used_by(page: Reading, students: tuple[str, ...]) -> frozenset[str]:
    return frozenset[str]().union(*(used_keys(page, name) for name in students))


@contextmanager
def _told_whose(students: tuple[str, ...]) -> Iterator[None]:
    """Says for whom fresh positions have run out."""
    try:
        yield
    except SupplyExhaustedError as error:
        whose = students[0] if len(students) == 1 else f"these {len(students)} students"
        raise SupplyExhaustedError(f"For {whose}: {error.message}", error.hint) from error


def _due_units(page: Reading, syllabus: Syllabus, student: str, on: date) -> tuple[Unit, ...]:
    """The units that a student needs to review on a day, most urgent first. Raises CoachbookError."""
    advice = review_advice(syllabus, evenings(page, student=student, until=on), on)
    return tuple(syllabus.unit(each.unit) for each in advice)


def items_for_review(
    wanted: Iterable[tuple[Unit, int]], seed: int, used: frozenset[str]
) -> tuple[Exercise, ...]:
    """So many exercises of each unit, those of a unit together, none with a key in `used`; of a unit with
    too few fresh positions those that are left."""
    found: list[Exercise] = []
    for unit, count in wanted:
        found += fresh_items(unit, count, seed, used | {item.key for item in found})
    return tuple(found)


def fresh_items(unit: Unit, count: int, seed: int, used: frozenset[str]) -> tuple[Exercise, ...]:
    """So many exercises of a unit, or as many as are left, none with a key in `used`."""
    own_seed = derived_seed(seed, "review", unit.code)
    mixed = _any_kind_first(unit, own_seed)
    for fewer in range(count, 0, -1):
        with suppress(SupplyExhaustedError):
            return make_items(mixed, fewer, own_seed, used)
    return ()


def _review_items(due: tuple[Unit, ...], count: int, seed: int, used: frozenset[str]) -> tuple[Exercise, ...]:
    """Up to `count` exercises of the most urgent units, those of a unit together, none with a key in `used`.

    They are shared evenly among as many units as there are exercises. Of a unit with too
    few fresh positions those that are left: the sheet then has more new material.
    """
    chosen = due[:count]
    shares = ((unit, len(range(index, count, len(chosen)))) for index, unit in enumerate(chosen))
    return items_for_review(shares, seed, used)


def _any_kind_first(unit: Unit, seed: int) -> Unit:
    """One exercise is of the unit's first kind: let chance say which that is."""
    first = seed % len(unit.kinds)
    return replace(unit, kinds=unit.kinds[first:] + unit.kinds[:first])

"""A worksheet being made: what is asked for, what goes on it, and its code.

A code such as QB-4K7M2 begins with letters that stand for the unit (queen-box); no two units of a syllabus
have the same. Codes of sheets that were printed under another syllabus stay as they are.
"""

import itertools
from collections import Counter
from collections.abc import Iterable, Iterator
from contextlib import contextmanager, suppress
from dataclasses import dataclass, replace
from datetime import date

from coachbook.club.book import Reading
from coachbook.club.results import evenings
from coachbook.club.sheets import is_taken, used_keys
from coachbook.errors import Advice, CoachbookError, Step
from coachbook.exercises.generate import Forms, SupplyExhaustedError, derived_seed, make_forms, make_items
from coachbook.exercises.minutes import MOST, items_for
from coachbook.model.syllabus import Syllabus, Unit
from coachbook.model.worksheet import Exercise
from coachbook.progress.standing import review_advice

REVIEW = "review"
"""What a sheet is of that belongs to no one unit."""

_LETTERS = "23456789ABCDEFGHJKMNPQRSTVWXYZ"
_LENGTH = 5
_TRIES = 100
_FEWEST = 2
"""Letters in a prefix."""


def free_code(tx: Reading, syllabus: Syllabus, what: str, seed: int, made_on: date, number: int) -> str:
    """A code that no sheet of the book has yet: the prefix of `what` (a unit's code, or REVIEW), and letters
    that the seed, the day and the sheet's number decide. Raises CoachbookError if many tries find none.
    """
    prefix = prefixes({what, REVIEW, *(unit.code for unit in syllabus.units)})[what]
    for attempt in range(_TRIES):
        code = f"{prefix}-{_drawn(derived_seed(seed, what, str(made_on), str(number), str(attempt)))}"
        if not any(is_taken(tx, code + form) for form in ("", "-A", "-B")):
            return code
    raise CoachbookError("No free sheet code was found.", "Choose another seed.")


def prefixes(codes: Iterable[str]) -> dict[str, str]:
    """A prefix for each of several codes of units, all different, whatever their order.

    Where initials are the same (king-and-pawn, knight-and-pawn) a word has one letter more, first its
    last: KGAP, KTAP. One word has its first two letters.
    """
    more = {code: _candidates(code) for code in sorted(set(codes))}
    found = {code: next(candidates) for code, candidates in more.items()}
    while twice := {prefix for prefix, times in Counter(found.values()).items() if times > 1}:
        found |= {code: next(more[code]) for code, prefix in found.items() if prefix in twice}
    return found


def _candidates(code: str) -> Iterator[str]:
    """Without end, each longer or stranger than those before; no two codes have all of them in common."""
    words = ["".join(sign for sign in word.upper() if sign in _LETTERS) for word in code.split("-")]
    words = [word for word in words if word]
    initials = [word[0] for word in words]
    longest, way = max(map(len, words), default=0), 1 if len(words) == 1 else -1
    longer = (
        "".join([*initials[:place], word[0] + word[way * step], *initials[place + 1 :]])
        for step in range(1, longest)
        for place, word in enumerate(words)
        if step < len(word)
    )
    yield from (each for each in ("".join(initials), *longer) if len(each) >= _FEWEST)
    for attempt in itertools.count():
        yield "".join(initials) + _drawn(derived_seed(attempt, code))[:_FEWEST]


def _drawn(number: int) -> str:
    """Letters that a number decides."""
    letters = ""
    for _ in range(_LENGTH):
        number, index = divmod(number, len(_LETTERS))
        letters += _LETTERS[index]
    return letters


_USUAL_REVIEW = 2


@dataclass(frozen=True, slots=True)
class SheetRequest:
    """What is asked for. `seed` decides the choice of positions; the same seed on the same
    book gives the same sheets. `personal` gives each student a sheet of their own; `forms` gives
    the students two parallel sheets, A and B in turn. `review` is the most items of a student's
    own sheet that are for review; if it is None, two. `own` are exercises from the coach's own
    positions: they come first, and fresh ones fill up to `items`. `evening` is the one for which it is
    made, if the coach names it. Raises CoachbookError for what can't be had."""

    unit: Unit
    students: tuple[str, ...]
    items: int
    seed: int
    made_on: date
    personal: bool = False
    forms: bool = False
    review: int | None = None
    own: tuple[Exercise, ...] = ()
    evening: date | None = None

    def __post_init__(self) -> None:
        review = self.review or 0
        if not 1 <= self.items <= MOST:
            raise CoachbookError(f"A sheet cannot have {self.items} exercises.", f"Ask for 1 to {MOST}.")
        if review < 0:
            raise CoachbookError(f"A sheet cannot have {review} items for review.", "Ask for 0 or more.")
        if self.own and (self.forms or review):
            raise CoachbookError(
                "Your own positions can only make one plain sheet.", Advice(Step.LEAVE_OUT_FORMS_AND_REVIEW)
            )
        if len(self.own) > self.items:
            raise CoachbookError(
                f"{len(self.own)} own positions don't fit among {self.items} exercises.",
                Advice(Step.ASK_FOR_MORE_ITEMS),
            )
        if self.forms and self.personal:
            raise CoachbookError(
                "Two forms are shared, so students cannot have sheets of their own, too.",
                Advice(Step.CHOOSE_FORMS_OR_EACH),
            )
        if self.forms and len(self.students) < 2:
            raise CoachbookError("Two forms need two students or more.", Advice(Step.LEAVE_OUT_FORMS))
        if review and self.is_shared:
            raise CoachbookError(
                "A shared sheet cannot review what each student needs.", Advice(Step.MAKE_ONE_EACH)
            )

    @property
    def is_shared(self) -> bool:
        return len(self.students) > 1 and not self.personal

    @property
    def most_reviewed(self) -> int:
        """How many items of a sheet may be for review: one at least is new."""
        usual = 0 if self.is_shared or self.own else _USUAL_REVIEW
        return min(usual if self.review is None else self.review, self.items - 1)


def items_in(unit: Unit, minutes: int) -> int:
    """How many items of a unit so many minutes hold. Raises CoachbookError for no time at all."""
    if minutes < 1:
        raise CoachbookError(f"A sheet cannot fill {minutes} minutes.", "Give 1 or more.")
    return items_for(unit, minutes)


def sheet_items(
    tx: Reading, syllabus: Syllabus, request: SheetRequest, number: int, students: tuple[str, ...]
) -> tuple[Exercise, ...]:
    """The coach's own positions or what is due for review first, then new material. Raises CoachbookError for
    a position of the coach's own that one of the students had, and if fresh ones have run out."""
    used = used_by(tx, students)
    if request.own:
        _check_own(request.own, used)
    seed = derived_seed(request.seed, request.unit.code, str(number))
    due = request.own
    if request.most_reviewed > 0:
        units = _due_units(tx, syllabus, students[0], request.made_on)
        others = tuple(unit for unit in units if unit.code != request.unit.code)
        due = _review_items(others, request.most_reviewed, seed, used)
    with _naming_students(students):
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


def form_items(tx: Reading, request: SheetRequest) -> Forms:
    """Two parallel forms, new to every one of the students. Raises SupplyExhaustedError if positions have run
    out."""
    seed = derived_seed(request.seed, request.unit.code, "forms")
    with _naming_students(request.students):
        return make_forms(request.unit, request.items, seed, used_by(tx, request.students))


def used_by(tx: Reading, students: tuple[str, ...]) -> frozenset[str]:
    return frozenset[str]().union(*(used_keys(tx, name) for name in students))


@contextmanager
def _naming_students(students: tuple[str, ...]) -> Iterator[None]:
    """Says for whom fresh positions have run out."""
    try:
        yield
    except SupplyExhaustedError as error:
        whose = students[0] if len(students) == 1 else f"these {len(students)} students"
        raise SupplyExhaustedError(f"For {whose}: {error.message}", error.hint) from error


def _due_units(tx: Reading, syllabus: Syllabus, student: str, on: date) -> tuple[Unit, ...]:
    """The units that a student needs to review on a day, most urgent first. Raises CoachbookError for an
    unknown student."""
    advice = review_advice(syllabus, evenings(tx, student=student, until=on), on)
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

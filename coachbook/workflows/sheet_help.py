"""What helps with the items of a sheet: what their words mean, the rules that they name, and an example.

It is decided when the sheet is made and stored with it, so that it is printed again just so.
"""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import replace
from datetime import date

from coachbook.club.book import Reading
from coachbook.club.sheets import kinds_given
from coachbook.exercises.generate import derived_seed, make_example
from coachbook.method.methods import find_method
from coachbook.method.rules import Method
from coachbook.model.claims import MethodLine, MethodRule
from coachbook.model.syllabus import KindUse, Syllabus, Unit
from coachbook.model.worksheet import Exercise, RuleCard, Worksheet
from coachbook.wording.definitions import DEFINITIONS, definitions_for, definitions_of_card
from coachbook.workflows.sheet_making import used_by
from coachbook.workflows.unit_papers import rules_in_words

_BY_THE_RULES = ("task_next_rule", "task_next_moves")


def with_words(sheet: Worksheet) -> Worksheet:
    """The sheet with all that its items and its example ask a student to know, each once."""
    shown = (*sheet.items, *([sheet.example] if sheet.example else ()))
    methods = tuple(_methods_to_read(shown))
    codes = [code for item in shown for code in definitions_for(item.task.code, dict(item.task.facts))]
    codes += [code for method in methods for code in definitions_of_card(method.name)]
    words = tuple(DEFINITIONS[code] for code in dict.fromkeys(codes))
    return replace(sheet, words=words, cards=tuple(map(_card, methods)))


def _methods_to_read(items: Iterable[Exercise]) -> Iterator[Method]:
    """The methods by whose rules a task says to play."""
    asking = (item for item in items if item.task.code in _BY_THE_RULES)
    claims = (claim for item in asking for claim in item.claims if isinstance(claim, MethodRule | MethodLine))
    for name in dict.fromkeys(claim.method for claim in claims):
        method = find_method(name)
        if method is not None:
            yield method


def _card(method: Method) -> RuleCard:
    rules = rules_in_words(method)
    return RuleCard(method.title, tuple((rule.number, f"{rule.head} {rule.words}".strip()) for rule in rules))


def example_for(
    tx: Reading,
    syllabus: Syllabus,
    items: Sequence[Exercise],
    students: tuple[str, ...],
    made_on: date,
    seed: int,
    but: frozenset[str] = frozenset(),
) -> Exercise | None:
    """An example of the first kind on a sheet that none of the students had before the day on which it is
    made: no item of the sheet, nothing with a key in `but`, and new to them. None if no kind is new, or no
    fresh position is left.

    Raises CoachbookError for an unknown student.
    """
    known = kinds_given(tx, students, made_on)
    new = next((item for item in items if item.kind not in known), None)
    use = _use_of(syllabus, new) if new is not None else None
    if use is None:
        return None
    used = used_by(tx, students) | but | {item.key for item in items}
    return make_example(*use, derived_seed(seed, "example"), used, items)


def _use_of(syllabus: Syllabus, item: Exercise) -> tuple[Unit, KindUse] | None:
    """How the item's unit asks for its kind; None of a kind that only the coach's own position is for."""
    unit = syllabus.unit(item.unit)
    return next(((unit, use) for use in unit.kinds if use.kind == item.kind), None)

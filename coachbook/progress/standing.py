"""Where one student stands in one unit."""

from collections.abc import Iterable
from datetime import date

from coachbook.model.progress import Evening, Standing, UnitProgress
from coachbook.model.syllabus import SecureRule, Unit
from coachbook.progress.review import TARGET, due_on, recall_on, remember, went_badly


def standing(
    student: str, unit: Unit, evenings: Iterable[Evening], today: date, target: float = TARGET
) -> UnitProgress:
    """The standing on `today`; later evenings are not looked at.

    *New*: no evening yet. *Secure*: the unit's rule is met, the last evening did not go badly
    and predicted recall is at least `target`. *Fading*: the rule was met, but not the rest.
    *Working*: all else.
    """
    seen = tuple(sorted((each for each in evenings if each.on <= today), key=lambda each: each.on))
    memory = remember(seen)
    if memory is None:
        return UnitProgress(student, unit.code, Standing.NEW, (), None, None)
    recall = recall_on(memory, today)
    if not is_met(unit.secure, seen):
        reached = Standing.WORKING
    elif recall >= target and not went_badly(seen[-1]):
        reached = Standing.SECURE
    else:
        reached = Standing.FADING
    return UnitProgress(student, unit.code, reached, seen, recall, due_on(memory, target))


def is_met(rule: SecureRule, evenings: Iterable[Evening]) -> bool:
    """Whether enough evenings have enough answers of which enough are right."""
    good = [each for each in evenings if each.tried >= rule.items and each.right / each.tried >= rule.share]
    return len(good) >= rule.evenings

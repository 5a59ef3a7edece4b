"""Where students stand in units, today and over the weeks."""

from collections.abc import Iterable, Mapping, Sequence
from datetime import date

from coachbook.model.progress import Evening, Missing, Standing, Still, UnitProgress
from coachbook.model.syllabus import SecureRule, Syllabus, Unit
from coachbook.progress.review import TARGET, due_on, recall_on, remember, says_something, went_badly

SURE_EVENINGS = 2
SURE_ITEMS = 10


def standing(
    student: str, unit: Unit, evenings: Iterable[Evening], today: date, target: float = TARGET
) -> UnitProgress:
    """The standing on `today`; later evenings are not looked at.

    *New*: no evening yet. *Secure*: the unit's rule is met, the last evening did not go badly
    and predicted recall is at least `target`. *Fading*: the rule was met, but not the rest.
    *Working*: all else.
    """
    seen = tuple(sorted((each for each in evenings if each.on <= today), key=lambda each: each.on))
    missing = what_is_missing(unit.secure, seen)
    memory = remember(seen)
    if memory is None:
        return UnitProgress(student, unit.code, Standing.NEW, seen, None, None, missing)
    recall = recall_on(memory, today)
    if missing:
        reached = Standing.WORKING
    elif recall >= target and not went_badly(last_telling(seen)):
        reached = Standing.SECURE
    else:
        reached = Standing.FADING
    return UnitProgress(
        student, unit.code, reached, seen, recall, due_on(memory, target), missing, is_sure(seen)
    )


def last_telling(evenings: Iterable[Evening]) -> Evening:
    """The last evening, in order of date, that tells what the student can do. There must be one."""
    return max(filter(says_something, evenings), key=lambda each: each.on)


def what_is_missing(rule: SecureRule, evenings: Iterable[Evening]) -> tuple[Missing, ...]:
    """What the rule still asks for; nothing once it is met.

    Good evenings have enough answers of which enough are right; play-outs count that reached
    their goal within the allowance.
    """
    seen = tuple(evenings)
    good = good_evenings(rule, seen)
    played = sum(each.within for evening in seen for each in evening.play_outs)
    missing = []
    if good < rule.evenings:
        missing.append(Missing(Still.GOOD_EVENINGS, rule.evenings, good, rule.items, rule.share))
    if played < rule.play_outs:
        missing.append(Missing(Still.PLAY_OUTS, rule.play_outs, played))
    return tuple(missing)


def good_evenings(rule: SecureRule, evenings: Iterable[Evening]) -> int:
    """How many evenings have enough answers, and enough of them right."""
    return sum(each.tried >= rule.items and each.right / each.tried >= rule.share for each in evenings)


def is_sure(evenings: Iterable[Evening]) -> bool:
    """Whether there is enough evidence to rely on the prediction: two evenings that tell something,
    and ten answers or a play-out on one of them. The bounds are coachbook's own choice, no source."""
    telling = tuple(filter(says_something, evenings))
    items = sum(each.tried for each in telling)
    played = any(each.play_outs for each in telling)
    return len(telling) >= SURE_EVENINGS and (items >= SURE_ITEMS or played)


def overview(
    syllabus: Syllabus,
    evenings_by_student: Mapping[str, Mapping[str, Iterable[Evening]]],
    today: date,
    target: float = TARGET,
) -> tuple[UnitProgress, ...]:
    """Every student by name, each with every unit of the syllabus in order.

    Each student's evenings come by unit code; those in units that the syllabus no longer has
    are not looked at.
    """
    return tuple(
        standing(student, unit, evenings.get(unit.code, ()), today, target)
        for student, evenings in sorted(evenings_by_student.items())
        for unit in syllabus.units
    )


def secure_on(
    unit: Unit, evenings: Iterable[Evening], days: Sequence[date], target: float = TARGET
) -> tuple[bool, ...]:
    """Whether a student was secure in the unit on each of the days, by what had happened by then:
    the same as `standing` says, without the rest of it."""
    seen = tuple(sorted(evenings, key=lambda each: each.on))
    return tuple(
        _is_secure(unit, tuple(each for each in seen if each.on <= day), day, target) for day in days
    )


def _is_secure(unit: Unit, seen: tuple[Evening, ...], day: date, target: float) -> bool:
    if what_is_missing(unit.secure, seen):
        return False
    telling = tuple(filter(says_something, seen))
    memory = remember(telling)
    return memory is not None and not went_badly(telling[-1]) and recall_on(memory, day) >= target

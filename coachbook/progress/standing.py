"""Where students stand in units, today and over the weeks, and why; who needs review, and what to give; and
when a unit or a level was earned, which it stays."""

from collections.abc import Iterable, Mapping, Sequence
from datetime import date
from itertools import takewhile

from coachbook.model.play_outs import card_code
from coachbook.model.progress import (
    EarnedLevel,
    EarnedUnit,
    Evening,
    Missing,
    ReviewAdvice,
    Standing,
    Still,
    UnitProgress,
    Went,
    WhyDue,
)
from coachbook.model.syllabus import Level, SecureRule, Syllabus, Unit
from coachbook.progress.review import (
    TARGET,
    due_on,
    how_it_went,
    is_due,
    recall_on,
    remember,
    says_something,
    what_decided,
)

SURE_EVENINGS = 2
SURE_ITEMS = 10


def standing(
    student: str, unit: Unit, evenings: Iterable[Evening], today: date, target: float = TARGET
) -> UnitProgress:
    """The standing on `today`; later evenings are not looked at.

    *New*: no evening yet. *Secure*: the unit's rule is met, and it is not due yet. *Fading*: the rule is
    met, but it is due, as recall has dropped below `target` or the last evening went badly. *Working*: all
    else.
    """
    seen = tuple(sorted((each for each in evenings if each.on <= today), key=lambda each: each.on))
    missing = what_is_missing(unit.secure, seen)
    memory = remember(seen)
    if memory is None:
        return UnitProgress(student, unit.code, Standing.NEW, seen, None, None, missing)
    if missing:
        reached = Standing.WORKING
    else:
        reached = Standing.FADING if is_due(memory, today, target) else Standing.SECURE
    recall, due = recall_on(memory, today), due_on(memory, target)
    return UnitProgress(
        student, unit.code, reached, seen, recall, due, missing, is_sure(seen), memory.last_went
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
    played = any(each.telling_play_outs for each in telling)
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
    memory = remember(seen)
    return memory is not None and not is_due(memory, day, target)


_REFRESHER = 3


def review_advice(
    syllabus: Syllabus,
    evenings_by_student: Mapping[str, Mapping[str, Iterable[Evening]]],
    today: date,
    target: float = TARGET,
    due_by: date | None = None,
) -> tuple[ReviewAdvice, ...]:
    """One piece of advice for each student and unit that needs review on `today`, or will by `due_by`
    (a later day, such as that of the next evening).

    A unit needs review when it is due by then (`UnitProgress.is_due`). `urgency` is 1 minus what may be
    expected if the last evening came again: predicted recall times the share that went right on it. Equally
    urgent ones stand by student's name, then in the order of the syllabus.
    """
    advice = [
        _advice(syllabus.unit(progress.unit), progress, progress.due_on, progress.recall, today)
        for progress in overview(syllabus, evenings_by_student, today, target)
        if progress.recall is not None and progress.due_on is not None
        if progress.is_due(due_by or today)
    ]
    return tuple(sorted(advice, key=lambda each: -each.urgency))


def _advice(unit: Unit, progress: UnitProgress, due_on: date, recall: float, today: date) -> ReviewAdvice:
    last = last_telling(progress.evenings)
    card = _card_to_play(unit, progress.evenings)
    return ReviewAdvice(
        student=progress.student,
        unit=unit.code,
        unit_title=unit.title,
        urgency=1 - recall * _share_right(last),
        due_on=due_on,
        last=last,
        days_ago=(today - last.on).days,
        items=0 if card else _items_to_give(unit, progress.evenings),
        play_out=card,
        is_sure=progress.is_sure,
    )


def _card_to_play(unit: Unit, evenings: tuple[Evening, ...]) -> str:
    """The card to give, if a play-out tells more than a sheet: when the last one did not reach its
    goal, or the answers are there for the unit's rule and only play-outs are missing. The card that
    was played least often, of these the first; "" for a sheet."""
    played = [result for evening in evenings for result in evening.play_outs]
    telling = [result for result in played if result.counts]
    failed = bool(telling) and not telling[-1].reached
    answered = good_evenings(unit.secure, evenings)
    wanting = sum(each.within for each in played) < unit.secure.play_outs
    if not unit.play_outs or not (failed or (wanting and answered >= unit.secure.evenings)):
        return ""
    cards = [card_code(unit.code, number) for number in range(1, len(unit.play_outs) + 1)]
    return min(cards, key=[result.card for result in played].count)


def _items_to_give(unit: Unit, evenings: tuple[Evening, ...]) -> int:
    """As many as make an evening count for the unit's rule, as long as it is not met; then a few."""
    open_rule = good_evenings(unit.secure, evenings) < unit.secure.evenings
    return unit.secure.items if open_rule else _REFRESHER


def _share_right(evening: Evening) -> float:
    """The share (0 to 1) of an evening's answers that were right, and of its play-outs that reached
    their goal: the smaller one; 1 where there is neither."""
    shares = [1.0]
    if evening.tried:
        shares.append(evening.right / evening.tried)
    if played := evening.telling_play_outs:
        shares.append(sum(each.reached for each in played) / len(played))
    return min(shares)


def earned_on(rule: SecureRule, evenings: Iterable[Evening]) -> date | None:
    """The first day on which the rule was met; None if it never was."""
    seen = sorted(evenings, key=lambda each: each.on)
    for number, evening in enumerate(seen, start=1):
        if not what_is_missing(rule, seen[:number]):
            return evening.on
    return None


def earned_level(
    student: str, level: Level, evenings: Mapping[str, Iterable[Evening]], today: date
) -> EarnedLevel:
    """What a student has earned of a level by `today`, from the evenings by unit code; later evenings are not
    looked at."""
    units = []
    for unit in level.units:
        progress = standing(student, unit, evenings.get(unit.code, ()), today)
        on = earned_on(unit.secure, progress.evenings)
        units.append(EarnedUnit(unit.code, unit.title, on, progress.missing, progress.is_due(today)))
    return EarnedLevel(student, level.number, tuple(units))


def why_due(unit: Unit, progress: UnitProgress, today: date, target: float = TARGET) -> WhyDue:
    """What led to a student's standing in a unit on `today`, and to the day on which it is due."""
    telling = tuple(filter(says_something, progress.evenings))
    in_a_row = takewhile(lambda evening: how_it_went(evening) >= Went.WELL, reversed(telling))
    return WhyDue(
        progress=progress,
        title=unit.title,
        today=today,
        rule=unit.secure,
        last_on=telling[-1].on if telling else None,
        decided_by=what_decided(telling[-1])[1] if telling else None,
        well_in_a_row=sum(1 for _ in in_a_row),
        target=target,
    )

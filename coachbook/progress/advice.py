"""Who needs review, most urgent first, why, and what to give."""

from collections.abc import Iterable, Mapping
from datetime import date

from coachbook.model.play_outs import card_code
from coachbook.model.progress import Evening, ReviewAdvice, UnitProgress
from coachbook.model.syllabus import Syllabus, Unit
from coachbook.progress.review import TARGET, went_badly
from coachbook.progress.standing import good_evenings, last_telling, overview

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

    A unit needs review when predicted recall is below `target` by then, or when the last evening went
    badly, however fresh it is. `urgency` is 1 minus what may be expected if the last evening came
    again: predicted recall times the share that went right on it. Equally urgent ones stand by
    student's name, then in the order of the syllabus.
    """
    advice = [
        _advice(syllabus.unit(progress.unit), progress, progress.due_on, progress.recall, today)
        for progress in overview(syllabus, evenings_by_student, today, target)
        if progress.recall is not None and progress.due_on is not None
        if progress.due_on <= (due_by or today) or went_badly(last_telling(progress.evenings))
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
    failed = bool(played) and not played[-1].reached
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
    if evening.play_outs:
        shares.append(sum(each.reached for each in evening.play_outs) / len(evening.play_outs))
    return min(shares)

"""Who needs review, most urgent first, and why."""

from collections.abc import Iterable, Mapping
from datetime import date

from coachbook.model.club import ItemResult
from coachbook.model.progress import Evening, ReviewAdvice, UnitProgress
from coachbook.model.slips import tell_slips
from coachbook.model.syllabus import Syllabus
from coachbook.progress.overview import overview
from coachbook.progress.review import TARGET, went_badly


def review_advice(
    syllabus: Syllabus,
    results_by_student: Mapping[str, Iterable[ItemResult]],
    today: date,
    target: float = TARGET,
) -> tuple[ReviewAdvice, ...]:
    """One piece of advice for each student and unit that needs review on `today`.

    A unit needs review when predicted recall is below `target`, or when the last evening went
    badly, however fresh it is. `urgency` is 1 minus the share right that may be expected if the
    last sheet came again: predicted recall times the share right of the last evening. Equally
    urgent ones stand by student's name, then in the order of the syllabus.
    """
    advice = [
        _advice(syllabus, progress, progress.due_on, progress.recall, today)
        for progress in overview(syllabus, results_by_student, today, target)
        if progress.recall is not None and progress.due_on is not None
        if progress.recall < target or went_badly(progress.evenings[-1])
    ]
    return tuple(sorted(advice, key=lambda each: -each.urgency))


def _advice(
    syllabus: Syllabus, progress: UnitProgress, due_on: date, recall: float, today: date
) -> ReviewAdvice:
    last = progress.evenings[-1]
    title = syllabus.unit(progress.unit).title
    return ReviewAdvice(
        student=progress.student,
        unit=progress.unit,
        unit_title=title,
        urgency=1 - recall * last.right / last.tried,
        due_on=due_on,
        reason=f"{title}: {_what_happened(last, today)}",
    )


def _what_happened(evening: Evening, today: date) -> str:
    """Such as "3 weeks ago, 2 of 6; stalemated twice"."""
    told = f"{how_long_ago((today - evening.on).days)}, {evening.right} of {evening.tried}"
    slips = tell_slips(evening.slips)
    return f"{told}; {slips}" if slips else told


def how_long_ago(days: int) -> str:
    """Days in words: exact below two weeks, then full weeks, and from ten weeks full months."""
    if days == 0:
        return "today"
    if days == 1:
        return "yesterday"
    if days < 14:
        return f"{days} days ago"
    if days < 70:
        return f"{days // 7} weeks ago"
    return f"{days // 30} months ago"

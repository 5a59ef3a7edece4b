"""A term's plan in English: slots and why they stand where they stand, evenings, and what changes."""

from collections.abc import Iterable, Iterator, Mapping
from types import MappingProxyType

from coachbook.model.term_plan import (
    NAMES_GROUPS,
    Difference,
    EveningTopics,
    PlanDifference,
    PlannedSession,
    Reason,
    Shortfall,
    Slot,
    SlotKind,
    TermPlan,
    UnfitReview,
    Why,
)
from coachbook.wording.counting import listed, number_word, plural, quoted, shown_day

Titles = Mapping[str, str]
"""The titles of units by their codes; a unit without one is called by its code."""

NO_TITLES: Titles = MappingProxyType({})

_WHY = {
    Why.REVIEW: "review of earlier evenings comes first",
    Why.NOBODY_DUE: "nobody is due: a short warm-up on earlier evenings",
    Why.NEXT: "next in the syllabus",
    Why.AGAIN: "again: it was planned before and not done",
    Why.PINNED: "pinned to this evening by the coach",
    Why.WORKSHEET: "worksheet on what is new",
    Why.PLAY_OUTS: "play-outs of what is new",
    Why.SPARE_CARDS: "minutes to spare: play-outs of what the group knows",
    Why.SPARE_GAMES: "minutes to spare: games among themselves",
    Why.QUIET_SHEET: "a quiet sheet on what the group knows",
    Why.QUIET_GAMES: "games among themselves",
    Why.LAST_EVENING: "the last evening: a mixed sheet and play-outs on what was taught",
    Why.BUFFER: "for a late start, a long question and tidying up",
}
_BUILDS_ON = (Why.NEXT, Why.AGAIN, Why.PINNED)


def reason_in_words(reason: Reason | None, titles: Titles = NO_TITLES) -> str:
    """Such as "next in the syllabus; builds on “The queen's box”"; "" if no reason is known."""
    if reason is None:
        return ""
    names = [titles.get(name, name) for name in reason.names]
    match reason.why:
        case Why.AS_TOLD:
            return "".join(reason.names)
        case Why.GOES_ON:
            return f"goes on: {reason.number} minutes were left"
        case Why.LEVEL_DONE:
            return f"level {reason.number} is finished: a mixed sheet and play-outs on what was taught"
        case Why.STUDENTS_DUE:
            return _students_due(reason, titles)
    words = _WHY[reason.why]
    if names and reason.why in _BUILDS_ON:
        return f"{words}; builds on {' and '.join(map(quoted, names))}"
    if names and reason.why in NAMES_GROUPS:
        return f"{words} while the coach is with {' and '.join(reason.names)}"
    return words


def _students_due(reason: Reason, titles: Titles) -> str:
    by = " before the next evening" if reason.before_next else ""
    units = ", ".join(f"{titles.get(code, code)} ({count})" for code, count in reason.counts)
    more = f" and {reason.number} more" if reason.number else ""
    return f"students due{by}: {units}{more}"


def freed_in_words(groups: Iterable[str], lessons: int, minutes: int) -> str:
    """Such as "Nine lessons are for Foxes and Owls together: that frees 180 minutes of yours."."""
    who = listed(tuple(groups))
    count = number_word(lessons).capitalize()
    what = f"{count} {plural(lessons, 'lesson')} {'is' if lessons == 1 else 'are'}"
    return f"{what} for {who} together: that frees {minutes} minutes of yours."


def listed_titles(units: Iterable[str], titles: Titles = NO_TITLES) -> str:
    """Such as "Mate in one move, Two big pieces"."""
    return ", ".join(titles.get(unit, unit) for unit in units)


def catch_up_in_words(title: str, at: str, partner: str) -> str:
    """Such as "Two big pieces, with you at 18:25, or with Noor": with whom a student catches a unit up, and
    when the coach has time for it, if at all ("")."""
    ways = [f"with you at {at}"] if at else []
    ways += [f"with {partner}"] if partner else []
    return f"{title}, {' or '.join(ways) or 'with the lesson page, alone or with a partner'}"


def needed_twice_in_words(at: str, groups: Iterable[str]) -> str:
    """That the coach is needed in two places at once, from this time on, and what to do."""
    told = f"At {at} {listed(groups)} need you for different things."
    return f"{told} Let one of them begin with its sheet, or plan them together."


def kind_in_words(kind: SlotKind) -> str:
    """Such as "new" or "play-out"."""
    return kind.value


def subject(slot: Slot, titles: Titles = NO_TITLES) -> str:
    """The title of a slot's unit, "mixed" for work that is of no unit, "" for time that is of no work."""
    if slot.unit:
        return titles.get(slot.unit, slot.unit)
    return "" if slot.kind is SlotKind.BUFFER else "mixed"


def slot_in_words(slot: Slot, titles: Titles = NO_TITLES) -> str:
    """Such as "new: The queen's box", "practice: mixed" or "review"."""
    kind = kind_in_words(slot.kind)
    if slot.kind in (SlotKind.REVIEW, SlotKind.ASSESSMENT, SlotKind.BUFFER):
        return kind
    return f"{kind}: {subject(slot, titles)}"


def slot_with_reason(slot: Slot, titles: Titles = NO_TITLES) -> str:
    """Such as "practice: The queen's box"; of what is of no unit, the reason."""
    about = titles.get(slot.unit, slot.unit)
    if not about and slot.kind is not SlotKind.BUFFER:
        about = reason_in_words(slot.why, titles)
    return f"{kind_in_words(slot.kind)}: {about}" if about else kind_in_words(slot.kind)


def topic_of_slot(slot: Slot, titles: Titles = NO_TITLES) -> str:
    """The title of a slot's unit, or "Mixed", or "Assessment"."""
    if slot.kind is SlotKind.ASSESSMENT:
        return "Assessment"
    return titles.get(slot.unit, slot.unit) or "Mixed"


def no_time_in_words(unfit: UnfitReview) -> str:
    """Why a review has found no evening."""
    if not unfit.fitting:
        return f"the evening of {shown_day(unfit.on)} has no time for review"
    return f"other units come first: {unfit.fitting} reviews are all that fit into an evening"


def topics_in_words(topics: EveningTopics, titles: Titles = NO_TITLES) -> str:
    """Such as "The queen's box (goes on), The rook's box (new)"."""
    words = (f"{titles.get(code, code)} ({how.value})" if code else how.value for code, how in topics.units)
    return ", ".join(words) or "review and play-outs"


def shortfall_in_words(shortfall: Shortfall, titles: Titles = NO_TITLES) -> str:
    """Such as "“The rook's box” needs two more evenings than you have."."""
    title = quoted(titles.get(shortfall.unit, shortfall.unit))
    if shortfall.evenings is None:
        return f"{title} needs far more evenings than you have."
    count = number_word(shortfall.evenings)
    return f"{title} needs {count} more {plural(shortfall.evenings, 'evening')} than you have."


def about_plan(plan: TermPlan) -> Iterator[str]:
    """How many evenings from when to when, and on which dates there is no club; a line for each."""
    at = f", {plan.at} {plan.zone}".rstrip() if plan.at else ""
    yield f"{len(plan.sessions)} evenings, {shown_day(plan.starts_on)} to {shown_day(plan.ends_on)}{at}"
    for days in plan.taken_over:
        yield f"Another plan covers {shown_day(days.first)} to {shown_day(days.last)}."
    if off := plan.days_off:
        yield f"No club on {', '.join(map(shown_day, off))}."


def new_in_words(session: PlannedSession, titles: Titles = NO_TITLES) -> str:
    """Such as "Two big pieces, assessment"; "-" for an evening that only goes on."""
    new = (titles.get(unit, unit) for unit in session.units(SlotKind.NEW))
    last = (slot.kind for slot in session.slots if slot.kind is SlotKind.ASSESSMENT)
    return ", ".join(dict.fromkeys((*new, *last))) or "-"


def fitting_in_words(plan: TermPlan, titles: Titles = NO_TITLES) -> Iterator[str]:
    """What did not fit, or that all does, and how much is missing for it; a line for each."""
    missing = plan.left_over if plan.goal is None else [each.unit for each in plan.shortfalls]
    told = ", ".join(titles.get(code, code) for code in missing)
    all_fits = (
        "Every unit fits." if plan.goal is None else f"Level {plan.goal} is done by the end of the term."
    )
    yield f"Did not fit: {told}." if told else all_fits
    for shortfall in plan.shortfalls:
        yield shortfall_in_words(shortfall, titles)


def differences_in_words(differences: Iterable[PlanDifference], titles: Titles = NO_TITLES) -> list[str]:
    """A line for each."""
    return [difference_in_words(each, titles) for each in differences]


_GAVE_WAY = "no longer fits, and is removed."


def difference_in_words(difference: PlanDifference, titles: Titles = NO_TITLES) -> str:
    """Such as "2026-09-17: was The queen's box (new), now cancelled"."""
    days = ", ".join(map(shown_day, difference.evenings))
    names = [titles.get(code, code) for code in difference.units]
    lost = ", ".join(map(unmistakable, names))
    units, span = (
        ", ".join(names),
        f"from {shown_day(difference.evenings[0])} to {shown_day(difference.evenings[-1])}" if days else "",
    )
    was, now = (topics_in_words(each, titles) if each else "" for each in (difference.was, difference.now))
    words = {
        Difference.ADDED: f"{days}: now {now}",
        Difference.CHANGED: f"{days}: was {was}, now {now}",
        Difference.CANCELLED: f"{days}: was {was}, now cancelled",
        Difference.LOCKED: f"{days}: locked",
        Difference.UNLOCKED: f"{days}: no longer locked",
        Difference.OTHER_MINUTES: f"The same units, with different minutes: {days}",
        Difference.FITS_NO_LONGER: f"No longer fits: {units}.",
        Difference.FITS_NOW: f"Fits now: {units}.",
        Difference.PIN_GAVE_WAY: f"The pin of {units} to {days} {_GAVE_WAY}",
        Difference.LOCK_GAVE_WAY: f"The lock on {days} {_GAVE_WAY}",
        Difference.PLANNED_AGAIN: f"Evenings {span} are planned again.",
        Difference.NO_LONGER_PLANNED: f"Evenings {span} are no longer planned.",
        Difference.NO_EVENING_LEFT: f"No evening is left in the plan for: {lost}.",
    }
    return words[difference.what]


def unmistakable(title: str) -> str:
    """A title in a sentence: in quotes if it ends with a sign that would be taken for the sentence's own."""
    return title if title[-1:].isalnum() else quoted(title)

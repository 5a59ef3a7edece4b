"""What is said around the table of a term: how long it is, what fits, who reviews what; and of a change of
it."""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from datetime import date
from typing import TypeVar

from coachbook.model.term_change import TermChange, TermStep
from coachbook.model.term_plan import (
    Closure,
    PlannedCatchUp,
    PlannedReview,
    PlannedSession,
    Slot,
    SlotKind,
    TermPlan,
    UnfitReview,
    clock,
)
from coachbook.wording.counting import capitalised, day_in_words, listed, shown_day
from coachbook.wording.plans import (
    NO_TITLES,
    Titles,
    freed_in_words,
    no_time_in_words,
    reached_in_words,
    shortfall_in_words,
    slot_in_words,
    unmistakable,
)

Said = TypeVar("Said")
Company = Mapping[tuple[date, int], Sequence[str]]
"""The other groups to which the same is explained, by evening and the minute at which that begins."""


def said_once(told: Iterable[tuple[str, Said]]) -> list[tuple[str, Said]]:
    """What is said of groups, after the name of each; the same once, after all the names: "Foxes and
    Owls"."""
    whose: dict[Said, dict[str, None]] = {}
    for group, said in told:
        whose.setdefault(said, {})[group] = None
    return [(listed(groups), said) for said, groups in whose.items()]


def term_in_words(plan: TermPlan) -> Iterator[str]:
    """How many evenings from when to when, and on which dates there is no club."""
    at = f", {plan.at} {plan.zone}".rstrip() if plan.at else ""
    yield f"{len(plan.sessions)} evenings, {shown_day(plan.starts_on)} to {shown_day(plan.ends_on)}{at}"
    for days in plan.taken_over:
        yield f"Another plan covers {shown_day(days.first)} to {shown_day(days.last)}."
    if off := plan.days_off:
        yield f"No club on {', '.join(map(shown_day, off))}."


def fitting_in_words(plan: TermPlan, titles: Titles = NO_TITLES) -> Iterator[str]:
    """Which units did not fit, if any, and how many more evenings they would take."""
    missing = plan.left_over if plan.goal is None else [each.unit for each in plan.shortfalls]
    told = ", ".join(titles.get(code, code) for code in missing)
    all_fits = "Every unit fits." if plan.goal is None else reached_in_words(plan.goal, titles)
    yield f"Did not fit: {told}." if told else all_fits
    for shortfall in plan.shortfalls:
        yield shortfall_in_words(shortfall, titles)


def new_in_words(session: PlannedSession, titles: Titles = NO_TITLES) -> str:
    """Such as "Two big pieces, assessment"; "-" for an evening that only goes on."""
    new = (titles.get(unit, unit) for unit in session.units(SlotKind.NEW))
    last = (slot.kind for slot in session.slots if slot.kind is SlotKind.ASSESSMENT)
    return ", ".join(dict.fromkeys((*new, *last))) or "-"


def all_freed_in_words(terms: Iterable[tuple[str, Sequence[PlannedSession], Company]]) -> Iterator[str]:
    """What lessons that are for several groups at once free, in a line for each company of groups; of groups,
    each with its evenings and its company."""
    minutes: dict[tuple[str, ...], dict[tuple[date, int], int]] = {}
    for group, sessions, together in terms:
        for session in sessions:
            for start, slot in session.timed:
                if others := together.get((session.on, start)):
                    company = tuple(sorted((group, *others)))
                    minutes.setdefault(company, {})[session.on, start] = slot.minutes * len(others)
    for company, found in minutes.items():
        yield freed_in_words(company, len(found), sum(found.values()))


def slot_in_company(slot: Slot, others: Sequence[str], titles: Titles = NO_TITLES) -> str:
    """Such as "New: Two big pieces (with Owls)": what a slot is for, and for whom besides."""
    return capitalised(slot_in_words(slot, titles)) + (f" (with {listed(others)})" if others else "")


def time_of_slot(at: str, minutes: int) -> str:
    """The time of day, if it is known when an evening starts ("18:30"), or the minutes since then."""
    return clock(at, minutes) if at else f"{minutes}\N{PRIME}"


def everybody_or_names(students: Sequence[str], everybody: Sequence[str]) -> str:
    """Such as "Ana, Ben"; "everybody" of all of several."""
    return "everybody" if len(students) == len(everybody) > 1 else ", ".join(sorted(students))


def who_reviews_what(
    planned: Iterable[PlannedReview | PlannedCatchUp], titles: Titles, everybody: Sequence[str]
) -> list[tuple[date, str, str]]:
    """A row for each evening and unit: the day, the title, and who."""
    found: dict[tuple[date, str], list[str]] = {}
    for each in planned:
        found.setdefault((each.on, each.unit), []).append(each.student)
    return [
        (on, titles.get(unit, unit), everybody_or_names(students, everybody))
        for (on, unit), students in found.items()
    ]


def who_finds_no_room(
    unfit: Iterable[UnfitReview], titles: Titles, everybody: Sequence[str]
) -> list[tuple[str, str, str]]:
    """A row for each unit and reason: who, the title, and why."""
    found: dict[tuple[str, str], list[str]] = {}
    for each in unfit:
        found.setdefault((each.unit, no_time_in_words(each)), []).append(each.student)
    return [
        (everybody_or_names(students, everybody), titles.get(unit, unit), reason)
        for (unit, reason), students in found.items()
    ]


def change_in_words(change: TermChange, groups: Sequence[str], titles: Titles = NO_TITLES) -> str:
    """What is changed, in one sentence without its full stop: "Cancel Thu 17 Sept 2026 for Foxes"."""
    day, who = day_in_words(change.on), listed(groups)
    units = listed(unmistakable(titles.get(code, code)) for code in change.units)
    words = {
        TermStep.CANCEL: f"Cancel {day} for {who}",
        TermStep.DAYS_OFF: f"No club for {who}: {', '.join(map(days_in_words, change.days))}",
        TermStep.REPLAN: f"Plan anew from {day} on for {who}",
        TermStep.LOCK: f"Lock {day} for {who}",
        TermStep.UNLOCK: f"Unlock {day} for {who}",
        TermStep.PIN: f"Pin {units} to {day} for {who}",
        TermStep.UNPIN: f"Take the pin of {units} away for {who}",
        TermStep.NOT_DONE: f"Not done by {who} on {day}: {units}",
    }
    return words[change.step]


def days_in_words(days: Closure) -> str:
    """Such as "Mon 26 Oct 2026", or "Mon 26 Oct 2026 to Fri 30 Oct 2026"."""
    first = day_in_words(days.first)
    return first if days.first == days.last else f"{first} to {day_in_words(days.last)}"

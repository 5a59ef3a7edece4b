"""What an entry of the log holds, in English."""

from collections.abc import Iterable
from datetime import date

from coachbook.model.facts import EntryFacts, EntryKind
from coachbook.model.term_plan import PlanChange
from coachbook.wording.counting import counted

_CHANGES = {
    PlanChange.PLANNED: "a term plan for",
    PlanChange.REPLANNED: "the rest of the term planned again for",
    PlanChange.PINNED: "a pin in the plan of",
    PlanChange.UNPINNED: "a pin taken out of the plan of",
    PlanChange.LOCKED: "an evening locked in the plan of",
    PlanChange.UNLOCKED: "an evening unlocked in the plan of",
    PlanChange.NOT_DONE: "what was not done, in the plan of",
}


def entry_in_words(entry: EntryFacts) -> str:
    """Such as "6 answers of Noor on sheet QB-4K7M2"."""
    match entry.kind:
        case EntryKind.ATTENDANCE:
            return _attendance(entry)
        case EntryKind.ANSWERS:
            return _answers(entry)
        case EntryKind.PLAY_OUT:
            moves = "" if entry.used is None else f" after {counted(entry.used, 'move')}"
            return f"a play-out of {_one(entry)} in {entry.unit} on {entry.evenings[0]}: {entry.end}{moves}"
        case EntryKind.NOTE:
            return f"a note on {_one(entry)} in {entry.unit} on {entry.evenings[0]}"
        case EntryKind.PLAN if entry.change is not None and entry.days is not None:
            groups = " and ".join(entry.groups)
            return f"{_CHANGES[entry.change]} {groups}, {entry.days.first} to {entry.days.last}"
    return "nothing that is left"


def evenings_in_words(days: Iterable[date]) -> str:
    """Such as "evening of 2027-01-12" or "12 evenings from 2027-01-12 to 2027-03-30"; of at least one."""
    first, *more = sorted(set(days))
    if not more:
        return f"evening of {first}"
    if len(more) == 1:
        return f"evenings of {first} and {more[0]}"
    return f"{len(more) + 1} evenings from {first} to {more[-1]}"


def _one(entry: EntryFacts) -> str:
    return entry.students[0]


def _attendance(entry: EntryFacts) -> str:
    if len(entry.evenings) > 1:
        if entry.tell_evenings:
            return f"attendance, {evenings_in_words(entry.evenings)}"
        return f"attendance on {counted(len(entry.evenings), 'evening')}"
    (on,) = entry.evenings
    if entry.count == 1:
        return f"attendance of {_one(entry)} on {on}: {'there' if entry.present else 'absent'}"
    return f"attendance on {on}: {entry.present} of {entry.count} there"


def _answers(entry: EntryFacts) -> str:
    who = _one(entry) if len(entry.students) == 1 else f"{len(entry.students)} students"
    where = f"sheet {entry.sheets[0]}" if len(entry.sheets) == 1 else f"{len(entry.sheets)} sheets"
    words = f"{counted(entry.count, 'answer')} of {who} on {where}"
    return f"{words}, {evenings_in_words(entry.evenings)}" if entry.tell_evenings else words

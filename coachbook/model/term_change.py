"""What a coach wants changed in the plans of terms, as a value: looked at first, and then done just so."""

from dataclasses import dataclass
from datetime import date
from enum import StrEnum

from coachbook.model.term_plan import Closure


class TermStep(StrEnum):
    """What is done to plans."""

    CANCEL = "cancel"
    DAYS_OFF = "days off"
    REPLAN = "replan"
    LOCK = "lock"
    UNLOCK = "unlock"
    PIN = "pin"
    UNPIN = "unpin"
    NOT_DONE = "not done"


@dataclass(frozen=True, slots=True)
class TermChange:
    """A step for groups (by their ids). `on` is the evening that it is about, or the day from which on the
    rest is planned anew; `units` are those that are pinned, freed or were not done; `days` those off."""

    step: TermStep
    groups: tuple[int, ...]
    on: date
    units: tuple[str, ...] = ()
    days: tuple[Closure, ...] = ()

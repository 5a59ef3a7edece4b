"""A term's plan: sessions (club evenings) and what each is for."""

from dataclasses import dataclass
from datetime import date
from enum import StrEnum


class SlotKind(StrEnum):
    """What a stretch of a session is for."""

    REVIEW = "review"
    NEW = "new"
    PRACTICE = "practice"


@dataclass(frozen=True, slots=True)
class Slot:
    """So many minutes of a session. `unit` is a code, or empty for mixed review or practice.

    `why` says in words how it came to stand here.
    """

    kind: SlotKind
    unit: str
    minutes: int
    why: str


@dataclass(frozen=True, slots=True)
class PlannedSession:
    """One club evening (a local date) with its slots in order."""

    on: date
    slots: tuple[Slot, ...]

    @property
    def minutes(self) -> int:
        return sum(slot.minutes for slot in self.slots)


@dataclass(frozen=True, slots=True)
class TermPlan:
    """Sessions in order of date; `left_over` are unit codes that did not fit."""

    starts_on: date
    ends_on: date
    minutes: int
    sessions: tuple[PlannedSession, ...]
    left_over: tuple[str, ...] = ()

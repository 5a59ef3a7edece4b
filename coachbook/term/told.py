"""What the evenings of a plan are about, in words."""

from collections.abc import Collection, Iterable, Mapping
from datetime import date
from types import MappingProxyType

from coachbook.model.term import PlannedSession, SlotKind, TermPlan
from coachbook.term.work import WORK


def told_evenings(plan: TermPlan, titles: Mapping[str, str] = MappingProxyType({})) -> dict[date, str]:
    """For each evening what it is about, such as "The queen's box (goes on), The rook's box (new)". Units
    without a title are told by their codes."""
    begun: dict[str, date] = {}
    told: dict[date, str] = {}
    for session in plan.sessions:
        about: dict[str, str] = {}
        for slot in session.slots:
            if slot.kind is SlotKind.ASSESSMENT:
                about["assessment"] = "assessment"
            elif slot.unit and slot.kind in WORK and slot.unit not in about:
                first = begun.setdefault(slot.unit, session.on)
                if any(
                    each.unit == slot.unit and first < each.before <= session.on for each in plan.not_done
                ):
                    state, begun[slot.unit] = "again", session.on
                else:
                    state = "new" if first == session.on else "goes on"
                about[slot.unit] = f"{titles.get(slot.unit, slot.unit)} ({state})"
        told[session.on] = ", ".join(about.values()) or "review and play-outs"
    return told


def planned_units(sessions: Iterable[PlannedSession], kinds: Collection[SlotKind] = WORK) -> set[str]:
    """The units that have slots of these kinds."""
    return {slot.unit for session in sessions for slot in session.slots if slot.unit and slot.kind in kinds}


def shape(session: PlannedSession) -> tuple[tuple[SlotKind, str, int], ...]:
    """What a session is for, without the reasons."""
    return tuple((slot.kind, slot.unit, slot.minutes) for slot in session.slots)

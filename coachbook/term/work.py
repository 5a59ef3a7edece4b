"""A unit as work to be spread over evenings: explanation, practice, play-outs."""

from dataclasses import dataclass

from coachbook.model.syllabus import Unit
from coachbook.model.term import SlotKind
from coachbook.term.request import SHORTEST_STRETCH

WORK = (SlotKind.NEW, SlotKind.PRACTICE, SlotKind.PLAY_OUT)
_QUIET = (SlotKind.PRACTICE, SlotKind.PLAY_OUT)


@dataclass(slots=True, eq=False)
class Work:
    """A unit with the minutes of each kind of work, in all and still `left`; `why` it comes now."""

    unit: Unit
    why: str
    parts: dict[SlotKind, int]
    left: dict[SlotKind, int]
    begun: bool = False

    @property
    def is_done(self) -> bool:
        return not any(self.left.values())

    @property
    def quiet(self) -> SlotKind | None:
        """What comes next that needs no coach, if anything."""
        return next((kind for kind in _QUIET if self.left[kind]), None)

    def reason(self, kind: SlotKind) -> str:
        """Why a slot of this kind comes now, in words."""
        if self.left[kind] < self.parts[kind]:
            return f"goes on: {self.left[kind]} minutes were left"
        if kind is SlotKind.NEW:
            return self.why
        return "worksheet on what is new" if kind is SlotKind.PRACTICE else "play-outs of what is new"

    def take(self, kind: SlotKind, minutes: int) -> None:
        """Note work as done. What is too much for its kind counts for the others: an earlier plan, or a
        syllabus that was changed since, may have cut the unit in another way."""
        self.begun = True
        for each in dict.fromkeys((kind, *_QUIET, SlotKind.NEW)):
            done = min(minutes, self.left[each])
            self.left[each] -= done
            minutes -= done


def parts_of(unit: Unit, turn: int | None) -> dict[SlotKind, int]:
    """How a unit's minutes are spent, in steps of five: half of them on what is new; of the rest half
    on play-outs, if the unit has any and that makes ten minutes; what remains is practice.

    Where groups share the coach, who is with each for a `turn` of so many minutes, what is new takes
    whole turns: as many as make a third of the unit, and half of it at most. There is more quiet
    work for it (common practice, no source).
    """
    half = -(-unit.minutes // 10) * 5
    new = min(unit.minutes, max(SHORTEST_STRETCH, half))
    if turn:
        new = min(new, -(-unit.minutes // (3 * turn)) * turn)
    rest = unit.minutes - new
    play = rest // 10 * 5 if unit.play_outs and rest >= 2 * SHORTEST_STRETCH else 0
    return {SlotKind.NEW: new, SlotKind.PRACTICE: rest - play, SlotKind.PLAY_OUT: play}


def begin(unit: Unit, why: str, turn: int | None) -> Work:
    """The whole unit, nothing of it done."""
    parts = parts_of(unit, turn)
    return Work(unit, why, parts, dict(parts))

"""One evening while it is being planned, and how a stretch of work is cut to fit into it."""

from dataclasses import dataclass, field, replace
from datetime import date

from coachbook.model.term import Slot, SlotKind
from coachbook.term.request import SHORTEST_STRETCH, CoachTime


@dataclass(slots=True)
class PencilEvening:
    """An evening on the pencil plan: `at` is the minute up to which it is planned, `end` the one from
    which it stays free. The coach may be with this group alone for `turn` more minutes."""

    on: date
    end: int
    turn: int
    busy: tuple[CoachTime, ...] = ()
    slots: list[Slot] = field(default_factory=list)
    at: int = 0

    @property
    def free(self) -> int:
        return self.end - self.at

    def put(self, slot: Slot) -> None:
        self.slots.append(slot)
        self.at += slot.minutes
        if slot.with_coach:
            self.turn -= slot.minutes

    def visit(self, need: int) -> tuple[int, int] | None:
        """The minute at which the coach next has time for the group, and how many of the `need`
        minutes; None if there is no such time tonight."""
        start = self.at
        for taken in (*sorted(self.busy, key=lambda each: each.start), CoachTime(self.end, self.end, "")):
            room = min(taken.start, self.end) - start
            if stretch := stretch_of(need, min(room, self.turn)):
                return start, stretch
            start = max(start, taken.end)
        return None

    def wait(self, until: int, *, knows_something: bool) -> None:
        """Work without the coach up to a minute. Less than ten minutes prolong quiet work before it."""
        gap = until - self.at
        if gap < SHORTEST_STRETCH and self.slots and not self.slots[-1].with_coach:
            self.slots[-1] = replace(self.slots[-1], minutes=self.slots[-1].minutes + gap)
            self.at = until
            return
        groups = dict.fromkeys(each.group for each in self.busy if each.end > self.at and each.start < until)
        kind = SlotKind.PRACTICE if knows_something else SlotKind.PLAY_OUT
        doing = "a quiet sheet on what the group knows" if knows_something else "games among themselves"
        self.put(Slot(kind, "", gap, f"{doing} while the coach is with {' and '.join(groups)}"))


def stretch_of(need: int, free: int) -> int:
    """How much of `need` to do in `free` minutes, so that no piece of it gets too short; or 0."""
    if 0 < need <= free:
        return need
    stretch = min(free, need - SHORTEST_STRETCH)
    return stretch if stretch >= SHORTEST_STRETCH else 0

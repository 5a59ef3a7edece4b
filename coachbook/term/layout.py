"""Lays units out over the evenings of a term, evening by evening: see `planner` for the rules."""

from collections.abc import Collection, Iterator
from dataclasses import dataclass, field, replace
from datetime import date

from coachbook.errors import Advice, Step
from coachbook.model.syllabus import Syllabus, Unit
from coachbook.model.term_plan import PlannedSession, Reason, Slot, SlotKind, Why
from coachbook.term.request import REVIEW_MINUTES, SHORTEST_STRETCH, CoachTime, TermRequest, WishError
from coachbook.wording.counting import quoted, shown_day

WORK = (SlotKind.NEW, SlotKind.PRACTICE, SlotKind.PLAY_OUT)
_QUIET = (SlotKind.PRACTICE, SlotKind.PLAY_OUT)


@dataclass(slots=True, eq=False)
class Work:
    """A unit with the minutes of each kind of work, in all and still `left`; `why` it comes now."""

    unit: Unit
    why: Reason | None
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

    def reason(self, kind: SlotKind) -> Reason | None:
        """Why a slot of this kind comes now."""
        if self.left[kind] < self.parts[kind]:
            return Reason(Why.GOES_ON, self.left[kind])
        if kind is SlotKind.NEW:
            return self.why
        return Reason(Why.WORKSHEET if kind is SlotKind.PRACTICE else Why.PLAY_OUTS)

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


def begin(unit: Unit, why: Reason | None, turn: int | None) -> Work:
    """The whole unit, nothing of it done."""
    parts = parts_of(unit, turn)
    return Work(unit, why, parts, dict(parts))


@dataclass(slots=True)
class EveningDraft:
    """An evening that is being planned: `at` is the minute up to which it is planned, `end` the one from
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
        if slot.with_coach and not self.joins(slot.unit, self.at - slot.minutes):
            self.turn -= slot.minutes

    def joins(self, unit: str, start: int) -> bool:
        """Whether another group is explained this unit from this minute on."""
        return any(each.unit == unit and each.start == start for each in self.busy)

    def visit(self, need: int, unit: str = "") -> tuple[int, int] | None:
        """The minute at which the coach next has time for the group, and how many of the `need`
        minutes; None if there is no such time tonight. What another group is explained, too, is
        explained to both at once, if that is no longer to wait for than a review takes."""
        for taken in self.busy:
            if unit and taken.unit == unit and self.at <= taken.start <= self.at + REVIEW_MINUTES:
                room = min(taken.end, self.end) - taken.start
                if stretch := stretch_of(need, room):
                    return taken.start, stretch
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
        why = Why.QUIET_SHEET if knows_something else Why.QUIET_GAMES
        self.put(Slot(kind, "", gap, Reason(why, names=tuple(groups))))


def stretch_of(need: int, free: int) -> int:
    """How much of `need` to do in `free` minutes, so that no piece of it gets too short; or 0."""
    if 0 < need <= free:
        return need
    stretch = min(free, need - SHORTEST_STRETCH)
    return stretch if stretch >= SHORTEST_STRETCH else 0


_ASSESSMENT, _SHORT_ASSESSMENT, _SHORT_SESSION = 20, 10, 45


@dataclass(slots=True)
class Layout:
    """The plan as far as it is made: what is known by now, which units are open, and the sessions so far.

    `order` are the units in the order in which they are tried; those in `left_out` are not.
    """

    syllabus: Syllabus
    request: TermRequest
    order: tuple[Unit, ...]
    left_out: Collection[str]
    known: set[str]
    open: list[Work] = field(default_factory=list)
    kept: set[str] = field(default_factory=set)
    sessions: list[PlannedSession] = field(default_factory=list)
    finished_level: int | None = None

    def run(self) -> None:
        """Go through all evenings. Raises CoachbookError for a pin or a lock that cannot be kept."""
        kept = {session.on: session for session in (*self.request.past, *self.request.locked)}
        past = {session.on for session in self.request.past}
        for on in self.request.all_dates:
            if on in kept:
                self._follow(kept[on], has_been=on in past)
            else:
                self._plan(on)

    def _follow(self, session: PlannedSession, *, has_been: bool) -> None:
        """Take a session as it stands."""
        known_units = {unit.code: unit for unit in self.syllabus.units}
        did_not_happen = {
            each.unit for each in self.request.not_done if has_been and session.on < each.before
        }
        for slot in session.slots:
            unit = known_units.get(slot.unit)
            if slot.kind is SlotKind.ASSESSMENT:
                self.finished_level = None
            elif unit and slot.kind in WORK and unit.code not in self.known | did_not_happen:
                self._do(self._as_kept(unit, slot, session.on, has_been=has_been), slot)
        self.sessions.append(session)

    def _as_kept(self, unit: Unit, slot: Slot, on: date, *, has_been: bool) -> Work:
        self.kept.add(unit.code)
        work = next((work for work in self.open if work.unit is unit), None) or self._begin(unit, None)
        if not has_been and (missing := self._missing(unit)):
            raise WishError(
                f"The evening of {shown_day(on)} is locked with {quoted(unit.title)},"
                f" which builds on {missing}; there is no time for {missing} before that evening.",
                "Unlock the evening, or plan fewer things before it.",
                on,
            )
        if not has_been and not work.begun and slot.kind is not SlotKind.NEW:
            raise WishError(
                f"The evening of {shown_day(on)} is locked with practice of {quoted(unit.title)};"
                " there is no time to explain the unit before that evening.",
                "Unlock the evening, or plan fewer things before it.",
                on,
            )
        return work

    def _plan(self, on: date) -> None:
        asked = self.request
        turn = asked.turn or asked.minutes
        evening = EveningDraft(on, asked.minutes - asked.buffer, turn, asked.busy.get(on, ()))
        pinned = list(self._pinned(on))
        is_assessed = self._assess(evening, is_pinned=bool(pinned))
        if not is_assessed and (self.sessions or self.known or asked.has_answers):
            evening.put(Slot(SlotKind.REVIEW, "", REVIEW_MINUTES, Reason(Why.REVIEW)))
        self.open[:0] = pinned
        while self._go_on(evening):
            pass
        if late := next((work for work in pinned if not work.begun), None):
            raise self._too_late(late.unit, on)
        if evening.free >= SHORTEST_STRETCH:
            units = (*map(self.syllabus.unit, self.known), *(work.unit for work in self.open))
            has_cards = any(unit.play_outs for unit in units)
            why = Reason(Why.SPARE_CARDS if has_cards else Why.SPARE_GAMES)
            evening.put(Slot(SlotKind.PLAY_OUT, "", evening.free, why))
        spare = asked.minutes - evening.at
        evening.put(Slot(SlotKind.BUFFER, "", spare, Reason(Why.BUFFER)))
        self.sessions.append(PlannedSession(on, tuple(evening.slots)))

    def _assess(self, evening: EveningDraft, *, is_pinned: bool) -> bool:
        """An assessment on the last evening, and on the one after a level is finished; not on both of
        the last two. On an evening with a pin it is put off. Whether there is one."""
        dates = self.request.all_dates
        is_last = evening.on == dates[-1]
        is_due = self.finished_level is not None and evening.on not in dates[-2:] and not is_pinned
        if not self.known or not (is_last or is_due):
            return False
        minutes = _ASSESSMENT if self.request.minutes >= _SHORT_SESSION else _SHORT_ASSESSMENT
        visit = evening.visit(min(minutes, evening.turn))
        if visit is None:
            return False
        start, stretch = visit
        while any(self._work_quietly(work, evening, start - evening.at) for work in self._ready()):
            pass
        if start > evening.at:
            evening.wait(start, knows_something=True)
        why = Reason(Why.LAST_EVENING if is_last else Why.LEVEL_DONE, self.finished_level or 0)
        evening.put(Slot(SlotKind.ASSESSMENT, "", stretch, why, with_coach=True))
        self.finished_level = None
        return True

    def _pinned(self, on: date) -> Iterator[Work]:
        for pin in self.request.pins:
            unit = self.syllabus.unit(pin.unit)
            if pin.on != on or unit.code in self.known or any(work.unit is unit for work in self.open):
                continue
            yield self._begin(unit, Reason(Why.PINNED, names=unit.prerequisites))

    def _too_late(self, unit: Unit, on: date) -> WishError:
        """For a pinned unit that has not begun by the end of its evening."""
        missing = self._missing(unit)
        why = f"it builds on {missing}, not done by then" if missing else "that evening has no time for it"
        return WishError(
            f"{quoted(unit.title)} cannot begin on {shown_day(on)}: {why}.",
            Advice(Step.PIN_LATER_OR_UNPIN, {"unit": unit.code}),
            on,
            unit.code,
        )

    def _go_on(self, evening: EveningDraft) -> bool:
        """Put one more slot on the evening, if anything fits. A unit that is open waits if what it
        builds on turned out not to be done."""
        if ready := self._ready():
            return any(self._step(work, evening) for work in ready)
        unit = self._next_unit(evening.on)
        return unit is not None and self._step(self._begin(unit, self._why(unit)), evening)

    def _ready(self) -> list[Work]:
        return [work for work in self.open if not self._missing(work.unit)]

    def _next_unit(self, on: date) -> Unit | None:
        waiting = {pin.unit for pin in self.request.pins if pin.on > on}
        return next(
            (
                unit
                for unit in self.order
                if unit.code not in self.known
                and unit.code not in self.left_out
                and unit.code not in waiting
                and self.known.issuperset(unit.prerequisites)
            ),
            None,
        )

    def _step(self, work: Work, evening: EveningDraft) -> bool:
        """Do what can be done of a unit at this minute. Where groups share the coach, quiet work may
        come before the explanation is complete; else it waits."""
        if not work.left[SlotKind.NEW]:
            return self._work_quietly(work, evening, evening.free)
        visit = evening.visit(work.left[SlotKind.NEW], work.unit.code)
        if visit and visit[0] == evening.at:
            self._put(work, SlotKind.NEW, visit[1], evening)
            return True
        until = visit[0] if visit else evening.end
        if self.request.turn and work.begun and self._work_quietly(work, evening, until - evening.at):
            return True
        if visit:
            evening.wait(until, knows_something=bool(self.known))
        return visit is not None

    def _work_quietly(self, work: Work, evening: EveningDraft, room: int) -> bool:
        kind = work.quiet
        stretch = stretch_of(work.left[kind], room) if kind else 0
        if kind and stretch:
            self._put(work, kind, stretch, evening)
        return stretch > 0

    def _put(self, work: Work, kind: SlotKind, minutes: int, evening: EveningDraft) -> None:
        slot = Slot(kind, work.unit.code, minutes, work.reason(kind), with_coach=kind is SlotKind.NEW)
        evening.put(slot)
        self._do(work, slot)

    def _do(self, work: Work, slot: Slot) -> None:
        if work not in self.open:
            self.open.append(work)
        work.take(slot.kind, slot.minutes)
        if work.is_done:
            self.open.remove(work)
            self.known.add(work.unit.code)
            level = self.syllabus.level_of(work.unit)
            if self.known.issuperset(unit.code for unit in level.units):
                self.finished_level = level.number

    def _begin(self, unit: Unit, why: Reason | None) -> Work:
        return begin(unit, why, self.request.turn)

    def _missing(self, unit: Unit) -> str:
        missing = (code for code in unit.prerequisites if code not in self.known)
        return " and ".join(quoted(self.syllabus.unit(code).title) for code in missing)

    def _why(self, unit: Unit) -> Reason:
        again = any(each.unit == unit.code for each in self.request.not_done)
        return Reason(Why.AGAIN if again else Why.NEXT, names=unit.prerequisites)

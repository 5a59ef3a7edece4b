"""Planning the terms of groups, and keeping the plans in the book."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import UTC, date, datetime, timedelta
from pathlib import Path

from coachbook.club.book import Book, Reading, Writing, rehearsing
from coachbook.club.groups import new_term, save_terms, terms_of
from coachbook.club.results import EveningsByUnit, evenings
from coachbook.club.students import list_students
from coachbook.errors import CoachbookError, Step
from coachbook.files.writing import put_in_place
from coachbook.model.facts import LogEntry
from coachbook.model.print_options import PaperOptions
from coachbook.model.progress import Evening, UnitProgress
from coachbook.model.syllabus import Syllabus
from coachbook.model.term_plan import (
    Closure,
    Difference,
    PlanChange,
    PlanDifference,
    PlannedCatchUp,
    PlannedSession,
    Term,
    TermPlan,
    TermReviews,
    learning_together,
)
from coachbook.paper.wall_plan import hall_pdf, term_pdf
from coachbook.progress.review import due_on, remember
from coachbook.progress.standing import overview
from coachbook.term.calendar import meeting_dates, zone_named
from coachbook.term.replan import differences, promised, succeed, taken_over
from coachbook.term.request import TermRequest, known_units
from coachbook.term.reviews import plan_reviews, with_students_due
from coachbook.term.taught import assessed_units, plan_catch_ups
from coachbook.term.together import plan_together
from coachbook.workflows.catching_up import missing_in
from coachbook.workflows.members import (
    days_held,
    first_open,
    named_group,
    named_groups,
    planned_sessions,
    term_at,
)
from coachbook.workflows.standings import progress_of


def reviews_ahead(
    syllabus: Syllabus, seen: Mapping[str, EveningsByUnit], plan: TermPlan, first: date
) -> TermReviews:
    """Who in a group is to review what on each evening of a plan from `first` on, the most urgent first, and
    who finds no room, as far as can be told before it: by what each student was `seen` to do."""
    sessions = [session for session in plan.sessions if session.on >= first]
    assessed = {session.on: assessed_units(syllabus, plan.sessions, session) for session in sessions}
    before = overview(syllabus, seen, first - timedelta(days=1))
    return plan_reviews(sessions, before, due_after, assessed=assessed)


def standing_before(tx: Reading, syllabus: Syllabus, group: str, on: date) -> tuple[UnitProgress, ...]:
    """Where the students of a group stand when an evening begins. Raises CoachbookError for an unknown
    group."""
    return progress_of(tx, syllabus, on - timedelta(days=1), group=group)


def due_after(evenings: tuple[Evening, ...], dates: tuple[date, ...]) -> date:
    """When recall falls below the target after these evenings and practice that goes well on later
    dates. There must be one of either. Raises CoachbookError if two are on one date."""
    memory = remember((*evenings, *(Evening(on, right=1, tried=1) for on in dates)))
    if memory is None:
        raise CoachbookError("Nothing was practised, so nothing can be forgotten.")
    return due_on(memory)


_USUAL_PAPER = PaperOptions()


@dataclass(frozen=True, slots=True)
class TermWish:
    """What a coach asks for: the days, the minutes of an evening, and the level to be reached by the end.

    `skip` are meetings that fall out, `closures` days without one. `at` is when an evening starts
    ("18:30"), `zone` by which clock ("Europe/Dublin"); each is "" if it is not known.
    """

    starts_on: date
    ends_on: date
    weekdays: tuple[int, ...]
    minutes: int
    skip: tuple[date, ...] = ()
    closures: tuple[Closure, ...] = ()
    goal: int | None = None
    at: str = ""
    zone: str = ""

    @property
    def days(self) -> Closure:
        return Closure(self.starts_on, self.ends_on)


Together = Mapping[tuple[date, int], tuple[str, ...]]
"""The other groups to which the same is explained, by evening and the minute at which that begins."""


@dataclass(frozen=True, slots=True)
class PlannedTerm:
    """A group's plan, and who of its `students` is to review what: computed, and never stored. `together`
    says with whom it learns, `catch_ups` who is explained what was missed."""

    group: str
    plan: TermPlan
    reviews: TermReviews
    students: tuple[str, ...]
    together: Together = field(default_factory=dict)
    catch_ups: tuple[PlannedCatchUp, ...] = ()


@dataclass(frozen=True, slots=True)
class ChangedTerm:
    """A group's new plan, and what it changes in the evenings that were planned."""

    planned: PlannedTerm
    changes: tuple[PlanDifference, ...]


@dataclass(frozen=True, slots=True)
class ChangedPlans:
    """What was planned for groups, and the log's `entry` by which it can be taken back; None if it was
    only looked at."""

    terms: tuple[ChangedTerm, ...]
    entry: LogEntry | None

    @property
    def planned(self) -> tuple[PlannedTerm, ...]:
        """The plans alone."""
        return tuple(each.planned for each in self.terms)

    @property
    def replaces(self) -> bool:
        """Whether an evening that was planned changes."""
        return any(each.changes for each in self.terms)


def plan_terms(
    book: Book,
    syllabus: Syllabus,
    groups: Sequence[str],
    wish: TermWish,
    *,
    today: date | None = None,
    wall: Path | None = None,
    options: PaperOptions = _USUAL_PAPER,
    seen: ChangedPlans | None = None,
) -> ChangedPlans:
    """Plan the terms of groups (of the only one, if none is named) and save them.

    Evenings that other terms have outside the days of the wish stay as they are. Inside them those that
    were held stay, and those that are locked, unless they fall out; all others are planned anew.

    Several groups share a hall and its coach. Units in which at least half of a group is secure on the
    first day, or was and is fading, are taken as known, and so is what a term that is under way `today`
    (the first day, if it is not given) will have taught by then. `wall` is where to write the plan as a PDF
    too; without the PDF no plan is saved. With what the coach has `seen`, nothing else is saved.

    Raises CoachbookError for an unknown group, for a wish that cannot be met (see `meeting_dates`,
    `TermRequest` and `plan_term`), for a PDF that cannot be written, and if what was `seen` has changed.
    """
    with book.writing() as tx:
        made = _planned(tx, syllabus, groups, wish, today or wish.starts_on)
        check_seen(made, seen)
        if wall is not None:
            plans = {each.group: each.plan for each in made.planned}
            print_terms(book.club_name, syllabus, plans, wall, options)
    return made


def check_seen(made: ChangedPlans, seen: ChangedPlans | None) -> None:
    """Raises CoachbookError if plans are not those that the coach has `seen`; None asks for nothing."""
    if seen is not None and seen.terms != made.terms:
        raise CoachbookError(
            "The book has changed while you looked at the plan.", "Nothing was kept. Plan again."
        )


def preview_terms(
    book: Book, syllabus: Syllabus, groups: Sequence[str], wish: TermWish, *, today: date | None = None
) -> ChangedPlans:
    """What `plan_terms` would save; nothing is. Raises CoachbookError where that does."""
    with rehearsing(book) as tx:
        made = _planned(tx, syllabus, groups, wish, today or wish.starts_on)
        return replace(made, entry=None)


def term_of(book: Book, syllabus: Syllabus, group: str | None, first: date) -> PlannedTerm:
    """A group (the only one, if none is named), the plan of its term on a day, or else of the next one, and
    the reviews from `first` on.

    Raises CoachbookError for an unknown group, for none if the club has not just one, and if it has no plan.
    """
    with book.reading() as tx:
        name = named_group(tx, group, Step.NAME_A_GROUP_OR_ALL).name
        plan = term_at(tx, name, first).plan
        open_from = first_open(tx, name, first)
        seen = evenings(tx, group=name)
        reviews = reviews_ahead(syllabus, seen, plan, open_from)
        sessions = [session for session in plan.sessions if session.on >= open_from]
        late = plan_catch_ups(missing_in(tx, syllabus, name, seen, first), sessions)
        return PlannedTerm(name, plan, reviews, _names(tx, name), together_with(tx, name, plan), late)


def together_with(tx: Reading, group: str, plan: TermPlan) -> Together:
    """To which other groups of its room the same is explained as to a group by its plan. Raises
    CoachbookError for an unknown group."""
    sessions = {other: planned_sessions(tx, other) for other in sorted({*plan.room} - {group})}
    found = learning_together({group: plan.sessions, **sessions})
    return {(on, start): those for (whose, on, start), those in found.items() if whose == group}


def other_terms(book: Book, group: str, plan: TermPlan) -> tuple[TermPlan, ...]:
    """The plans of a group's terms but one, in order. Raises CoachbookError for an unknown group."""
    with book.reading() as tx:
        return tuple(term.plan for term in terms_of(tx, group) if term.plan != plan)


def keep_plans(
    tx: Writing,
    syllabus: Syllabus,
    terms: Sequence[tuple[Term, TermPlan | None]],
    change: PlanChange,
    begins: Mapping[str, date],
) -> tuple[tuple[PlannedTerm, ...], LogEntry]:
    """Save new plans of groups, each with the one that it follows, as one entry of the log; the reviews of
    each group from its day in `begins` on are put into words. Raises CoachbookError for an unknown group."""
    found, saved = [], []
    for term, old in terms:
        first = begins[term.group]
        reviews = reviews_ahead(syllabus, evenings(tx, group=term.group), term.plan, first)
        plan = succeed(old, with_students_due(term.plan, reviews, first))
        saved.append(replace(term, plan=plan))
        found.append((term.group, plan, reviews))
    entry = save_terms(tx, saved, change, datetime.now(UTC))
    kept = (
        PlannedTerm(group, plan, reviews, _names(tx, group), together_with(tx, group, plan))
        for group, plan, reviews in found
    )
    return tuple(kept), entry


def gave_way(asked: TermRequest, plan: TermPlan) -> Iterator[PlanDifference]:
    """The pins and locks that were asked for and that a plan does not keep."""
    for pin in asked.pins:
        if pin not in plan.pins:
            yield PlanDifference(Difference.PIN_GAVE_WAY, (pin.on,), units=(pin.unit,))
    locked = {session.on for session in plan.sessions if session.locked}
    for session in asked.locked:
        if session.on not in locked:
            yield PlanDifference(Difference.LOCK_GAVE_WAY, (session.on,))


def taught_by_then(
    tx: Reading, group: str, before: date, today: date, *, but: int | None = None
) -> frozenset[str]:
    """The units that a group's terms, but the one of this number, will have taught before a day. Raises
    CoachbookError for an unknown group."""
    plans = (term.plan for term in terms_of(tx, group) if term.number != but)
    return promised(plans, before, days_held(tx, group), today)


def print_terms(
    club: str, syllabus: Syllabus, plans: Mapping[str, TermPlan], path: Path, options: PaperOptions
) -> None:
    """Write plans as a PDF for the wall. Raises CoachbookError if the file cannot be written."""
    put_in_place(path, terms_pdf(club, syllabus, plans, options))


def terms_pdf(club: str, syllabus: Syllabus, plans: Mapping[str, TermPlan], options: PaperOptions) -> bytes:
    """Plans as a PDF for the wall: one group's, or several side by side."""
    titles = syllabus.titles
    if len(plans) == 1:
        ((group, plan),) = plans.items()
        return term_pdf(plan, titles, club, group, options)
    return hall_pdf(plans, titles, club, options)


def _planned(
    tx: Writing, syllabus: Syllabus, groups: Sequence[str], wish: TermWish, today: date
) -> ChangedPlans:
    dates = meeting_dates(wish.starts_on, wish.ends_on, wish.weekdays, wish.skip, wish.closures)
    if wish.zone:
        zone_named(wish.zone)
        if not wish.at:
            raise CoachbookError("A time zone alone says nothing.", "Say when an evening starts, too.")
    names = [group.name for group in named_groups(tx, groups)]
    before = {name: taken_over([term.plan for term in terms_of(tx, name)], wish.days) for name in names}
    requests = {name: _request(tx, syllabus, name, dates, wish, names, before[name], today) for name in names}
    plans = plan_together(syllabus, requests, giving_way=True, keeping_locks=True)
    weekdays = tuple(sorted(set(wish.weekdays)))
    terms = [
        (new_term(tx, name, replace(plan, weekdays=weekdays)), before[name]) for name, plan in plans.items()
    ]
    begins = {name: first_open(tx, name, wish.starts_on) for name in names}
    kept, entry = keep_plans(tx, syllabus, terms, PlanChange.PLANNED, begins)
    return ChangedPlans(
        tuple(
            ChangedTerm(
                planned,
                (
                    *differences(old, planned.plan),
                    *gave_way(requests[planned.group], planned.plan),
                )
                if (old := before[planned.group]) is not None
                else (),
            )
            for planned in kept
        ),
        entry,
    )


def _request(
    tx: Reading,
    syllabus: Syllabus,
    group: str,
    dates: tuple[date, ...],
    wish: TermWish,
    sharing: Sequence[str],
    before: TermPlan | None,
    today: date,
) -> TermRequest:
    progress = progress_of(tx, syllabus, wish.starts_on, group=group)
    past, locked = _to_keep(tx, group, wish, before)
    kept = {session.on for session in (*past, *locked)}
    return TermRequest(
        dates=tuple(day for day in dates if day not in kept),
        minutes=wish.minutes,
        starts_on=wish.starts_on,
        ends_on=wish.ends_on,
        known=known_units(progress) | taught_by_then(tx, group, wish.starts_on, today),
        goal=wish.goal,
        pins=before.pins if before else (),
        past=past,
        locked=locked,
        not_done=before.not_done if before else (),
        has_answers=any(each.evenings for each in progress),
        sharing=tuple(sharing) if len(sharing) > 1 else (),
        at=wish.at,
        zone=wish.zone,
    )


def _to_keep(
    tx: Reading, group: str, wish: TermWish, before: TermPlan | None
) -> tuple[tuple[PlannedSession, ...], tuple[PlannedSession, ...]]:
    """Of the evenings that were planned before on these days: those that were held, and of the later ones
    those that are locked and do not fall out."""
    if before is None:
        return (), ()
    open_from = first_open(tx, group, wish.starts_on)
    past = tuple(session for session in before.sessions if session.on < open_from)
    locked = tuple(
        session
        for session in before.sessions
        if session.locked
        and session.on >= open_from
        and session.on not in wish.skip
        and not any(session.on in closed for closed in wish.closures)
    )
    return past, locked


def _names(tx: Reading, group: str) -> tuple[str, ...]:
    return tuple(student.name for student in list_students(tx, group))

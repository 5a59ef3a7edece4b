"""A club of simulated students that lives through its terms with a coach, and what came of it.

What happens is logged in a real book, by the functions of the commands, and the book says where the
students stand. Only the items themselves are stand-ins: their positions are not looked at.
"""

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import UTC, date, datetime
from pathlib import Path
from statistics import mean

from coachbook.club.book import Book, create_book
from coachbook.club.log import log_answers, log_play_out
from coachbook.club.sheets import save_worksheet
from coachbook.club.students import add_group, add_student
from coachbook.model.facts import ItemResult, PlayOutEnd, PlayOutResult, Slip
from coachbook.model.play_outs import read_card_code
from coachbook.model.progress import Standing
from coachbook.model.syllabus import Goal, Syllabus
from coachbook.model.term_plan import SlotKind
from coachbook.model.worksheet import Worksheet
from coachbook.workflows.evening_needs import Wanted
from coachbook.workflows.standings import progress_of
from tests.model.an_exercise import AN_EXERCISE
from tests.simulation.coaches import Coach, Given
from tests.simulation.students import Performance, SimulatedStudent

GROUPS = ("Herons", "Otters", "Swifts")
STUDENTS_A_GROUP = 10
_NOW = datetime(2026, 9, 1, tzinfo=UTC)


@dataclass(frozen=True, slots=True)
class Outcome:
    """What a club has come to on a day, each a mean over its students.

    `recall_of_taught` is the true recall (0 to 1) of what the group was taught, 0 for what a student
    never met; `recall_of_met` that of what the student met; `predicted` what the book predicts for the
    latter. `known` is the true recall of all units added up: how many units a student would know that
    day. `met`, `secure` and `rule_met` (secure once, fading now or not) count units. `answers` are
    items answered, `countable` the evenings with as many items of one unit as its rule asks for.
    """

    recall_of_taught: float
    recall_of_met: float
    predicted: float
    known: float
    met: float
    secure: float
    rule_met: float
    answers: float
    countable: float


@dataclass(slots=True)
class SimulatedClub:
    """Three groups of ten in a new book, and how far they are."""

    book: Book
    syllabus: Syllabus
    students: Mapping[str, SimulatedStudent]
    members: Mapping[str, Sequence[str]]
    taught: dict[str, set[str]] = field(default_factory=dict)
    given: dict[tuple[str, date], Given] = field(default_factory=dict)

    def live(self, coach: Coach, terms: Sequence[Sequence[date]]) -> None:
        """All evenings of some terms, one after the other."""
        for dates in terms:
            for group in self.members:
                coach.begin_term(self.book, group, dates)
            for on in dates:
                for group in self.members:
                    given = self.given[group, on] = coach.evening(self.book, group, on)
                    self._evening(group, on, given)

    def outcome(self, on: date) -> Outcome:
        with self.book.reading() as page:
            progress = progress_of(page, self.syllabus, on)
        standings = Counter(each.standing for each in progress)
        rules = {unit.code: unit.secure for unit in self.syllabus.units}
        evenings = [(rules[each.unit], evening) for each in progress for evening in each.evenings]
        taught = [
            mean(self.students[name].recall(unit, on) for unit in self.taught[group])
            for group, names in self.members.items()
            for name in names
        ]
        met = [student.recall(unit, on) for student in self.students.values() for unit in student.memories]
        count = len(self.students)
        return Outcome(
            recall_of_taught=mean(taught),
            recall_of_met=mean(met),
            predicted=mean(each.recall for each in progress if each.recall is not None),
            known=sum(met) / count,
            met=len(met) / count,
            secure=standings[Standing.SECURE] / count,
            rule_met=(standings[Standing.SECURE] + standings[Standing.FADING]) / count,
            answers=sum(evening.tried for _, evening in evenings) / count,
            countable=sum(evening.tried >= rule.items for rule, evening in evenings) / count,
        )

    def _evening(self, group: str, on: date, given: Given) -> None:
        explained = set(given.session.units(SlotKind.NEW))
        self.taught.setdefault(group, set()).update(explained)
        there = {name: wanted for name, wanted in given.papers.items() if self.students[name].is_there(on)}
        doing = {name: self._meets(name, on, wanted, explained) for name, wanted in there.items()}
        with self.book.writing() as page:
            answers = list[ItemResult]()
            for number, items in enumerate(sorted({wanted.items for wanted in there.values()})):
                names = [name for name, wanted in there.items() if wanted.items == items]
                if items:
                    sheet = _sheet(f"{group}-{on:%y%m%d}-{number}".upper(), on, items)
                    save_worksheet(page, sheet, names)
                    answers += [each for name in names for each in _answers(name, sheet, doing[name])]
            if answers:
                log_answers(page, answers, _NOW)
            for name, wanted in there.items():
                for card in wanted.cards:
                    log_play_out(page, self._play(name, card, on, doing[name]), _NOW)

    def _meets(self, name: str, on: date, wanted: Wanted, explained: set[str]) -> dict[str, Performance]:
        """All that comes up on a student's evening, each unit once."""
        asked = [unit for unit, _ in wanted.items] + [_read(card)[0] for card in wanted.cards]
        return {
            unit: self.students[name].meets(unit, on, explained=unit in explained)
            for unit in dict.fromkeys((*sorted(explained), *asked))
        }

    def _play(self, name: str, card: str, on: date, doing: Mapping[str, Performance]) -> PlayOutResult:
        unit, number = _read(card)
        asked = self.syllabus.unit(unit).play_outs[number - 1]
        reached = PlayOutEnd.MATE if asked.goal is Goal.WIN else PlayOutEnd.HELD
        end = reached if doing[unit].is_right() else PlayOutEnd.GAVE_UP
        return PlayOutResult(
            name, unit, on, asked.fen, asked.goal, asked.allowance, end, asked.allowance, card
        )


def new_club(path: Path, syllabus: Syllabus, seed: int) -> SimulatedClub:
    """A new book with its students, who know nothing yet."""
    names = [f"Student {number:02}" for number in range(len(GROUPS) * STUDENTS_A_GROUP)]
    members = {group: names[number :: len(GROUPS)] for number, group in enumerate(GROUPS)}
    book = create_book(path, "Harbour Lane")
    with book.writing() as page:
        for group, its in members.items():
            add_group(page, group)
            for name in its:
                add_student(page, name, [group])
    return SimulatedClub(book, syllabus, {name: SimulatedStudent(name, seed) for name in names}, members)


def _sheet(code: str, on: date, items: Sequence[tuple[str, int]]) -> Worksheet:
    exercises = tuple(replace(AN_EXERCISE, unit=unit) for unit, count in items for _ in range(count))
    return Worksheet(code, "", items[-1][0], "", 1, "", on, 1, exercises)


def _answers(name: str, sheet: Worksheet, doing: Mapping[str, Performance]) -> list[ItemResult]:
    rights = [doing[item.unit].is_right() for item in sheet.items]
    return [
        ItemResult(
            name, sheet.code, item.unit, number, sheet.made_on, "Qg7#", right, "" if right else Slip.ILLEGAL
        )
        for number, (item, right) in enumerate(zip(sheet.items, rights, strict=True), start=1)
    ]


def _read(card: str) -> tuple[str, int]:
    found = read_card_code(card)
    if found is None:
        raise ValueError(f"{card} is no card")
    return found

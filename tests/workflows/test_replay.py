"""The log is all there is: however it was written down, the same facts give the same standings."""

import random
import tempfile
from collections.abc import Iterator, Sequence
from contextlib import closing
from dataclasses import replace
from datetime import UTC, date, datetime, timedelta
from itertools import repeat
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from coachbook.club.book import Book, Writing, open_book
from coachbook.club.connection import connect
from coachbook.club.log import log_answers, log_observation, log_play_out
from coachbook.club.sheets import save_worksheet
from coachbook.club.students import add_student
from coachbook.club.taken_back import take_back
from coachbook.exercises.generate import make_items
from coachbook.model.facts import Impression, ItemResult, Observation, PlayOutEnd, PlayOutResult
from coachbook.model.progress import UnitProgress
from coachbook.model.worksheet import Worksheet
from coachbook.workflows.standings import load_syllabus, progress_of
from tests.club.copies import empty_book

SYLLABUS = load_syllabus()
UNITS = tuple(SYLLABUS.unit(code) for code in ("queen-box", "rook-box"))
NAMES = ("Ana", "Bo")
FIRST = date(2026, 9, 10)
NOW = datetime(2026, 9, 10, 20, tzinfo=UTC)
ITEMS, WEEKS = 5, 6
LAST = FIRST + timedelta(weeks=WEEKS + 4)

Fact = ItemResult | PlayOutResult | Observation


@pytest.fixture(scope="module")
def sheets() -> dict[tuple[str, int], Worksheet]:
    """One for each unit and week."""
    made = {}
    for unit in UNITS:
        items = make_items(unit, ITEMS, 1, frozenset())
        for week in range(WEEKS):
            renamed = tuple(replace(item, key=f"{week}-{number}") for number, item in enumerate(items))
            on = FIRST + timedelta(weeks=week)
            code = f"{unit.code[:1].upper()}-{week}"
            made[unit.code, week] = Worksheet(code, "Club", unit.code, unit.title, 1, "", on, 1, renamed)
    return made


def new_book(path: Path, sheets: dict[tuple[str, int], Worksheet]) -> Book:
    """With the students and the sheets, the same each time: it is made once."""
    if not made:
        made.append(_new_book(path, sheets).path.read_bytes())
    path.write_bytes(made[0])
    return open_book(path)


made: list[bytes] = []


def _new_book(path: Path, sheets: dict[tuple[str, int], Worksheet]) -> Book:
    book = empty_book(path, "Club")
    with book.writing() as page:
        for name in NAMES:
            add_student(page, name)
        for sheet in sheets.values():
            save_worksheet(page, sheet, NAMES)
    return book


def a_log(seed: int, sheets: dict[tuple[str, int], Worksheet]) -> list[Fact]:
    """Evenings in order: answers, some of them twice (the later word holds), play-outs and notes."""
    chance = random.Random(seed)  # noqa: S311 - an invented log, not a secret
    facts: list[Fact] = []
    for week in range(WEEKS):
        on = FIRST + timedelta(weeks=week)
        for name in NAMES:
            unit = chance.choice(UNITS)
            for item in (*range(1, ITEMS + 1), chance.randint(1, ITEMS)):
                right = chance.random() < 0.7
                slip = "" if right else chance.choice(("stalemate", "not tried"))
                code = sheets[unit.code, week].code
                facts.append(ItemResult(name, code, unit.code, item, on, "Qe5", right, slip))
            if chance.random() < 0.4:
                start, end = unit.play_outs[0], chance.choice((PlayOutEnd.MATE, PlayOutEnd.STALEMATE))
                facts.append(
                    PlayOutResult(name, unit.code, on, start.fen, start.goal, start.allowance, end, 12)
                )
            if chance.random() < 0.2:
                facts.append(Observation(name, unit.code, on, "quick", chance.choice(tuple(Impression))))
    return facts


def batches(facts: Sequence[Fact], sizes: Iterator[int]) -> Iterator[list[Fact]]:
    """The log cut into batches, in order; no batch tells one answer twice."""
    batch: list[Fact] = []
    size = next(sizes)
    for fact in facts:
        told = {(each.student, each.sheet, each.item) for each in batch if isinstance(each, ItemResult)}
        again = isinstance(fact, ItemResult) and (fact.student, fact.sheet, fact.item) in told
        if len(batch) >= size or again:
            yield batch
            batch, size = [], next(sizes)
        batch.append(fact)
    if batch:
        yield batch


def keep(page: Writing, batch: Sequence[Fact]) -> int:
    """Log a batch in as few entries as can be: how many."""
    answers = [fact for fact in batch if isinstance(fact, ItemResult)]
    entries = bool(answers)
    if answers:
        log_answers(page, answers, NOW)
    for fact in batch:
        if isinstance(fact, PlayOutResult):
            log_play_out(page, fact, NOW)
        elif isinstance(fact, Observation):
            log_observation(page, fact, NOW)
    return entries + len(batch) - len(answers)


def standings(book: Book) -> list[tuple[UnitProgress, ...]]:
    with book.reading() as page:
        return [progress_of(page, SYLLABUS, FIRST + timedelta(weeks=week)) for week in range(0, WEEKS + 4, 3)]


@pytest.mark.full
@settings(max_examples=6, deadline=None)
@given(st.integers(0, 10**6), st.integers(1, 40), st.integers(1, 40))
def test_a_log_replayed_in_batches_of_any_size_gives_the_same_standings(
    sheets: dict[tuple[str, int], Worksheet], seed: int, one: int, other: int
) -> None:
    facts = a_log(seed, sheets)
    found = []
    with tempfile.TemporaryDirectory() as room:
        for number, size in enumerate((1, one, other, len(facts))):
            book = new_book(Path(room) / f"{number}.book", sheets)
            with book.writing() as page:
                for batch in batches(facts, repeat(size)):
                    keep(page, batch)
            found.append(standings(book))
    assert all(each == found[0] for each in found)


@settings(max_examples=6, deadline=None)
@given(st.integers(0, 10**6), st.data())
def test_undo_returns_exactly_to_the_state_before(
    sheets: dict[tuple[str, int], Worksheet], seed: int, data: st.DataObject
) -> None:
    facts = a_log(seed, sheets)
    with tempfile.TemporaryDirectory() as room:
        book = new_book(Path(room) / "club.book", sheets)
        cut = data.draw(st.integers(0, len(facts) - 1))
        with book.writing() as page:
            for batch in batches(facts[:cut], repeat(7)):
                keep(page, batch)
        before, stood = dump(book), standings(book)
        with book.writing() as page:
            entries = sum(keep(page, batch) for batch in batches(facts[cut:], repeat(5)))
        assert dump(book) != before
        with book.writing() as page:
            for _ in range(entries):
                take_back(page, NOW)
        assert dump(book) == before
        assert standings(book) == stood


def dump(book: Book) -> list[str]:
    with closing(connect(book.path)) as connection:
        told = connection.iterdump()
        but = ('INSERT INTO "taken_back"', 'INSERT INTO "sqlite_sequence"')
        return [line for line in told if not line.startswith(but)]

"""A club's year through the real commands: what its coaches type, and what they typed, to compare with.

Three coaches, each with a way of their own, in turn: one types everything into `evening close` the
same night, one ticks what was marked on paper, and one keeps a table and logs a week's evening late: the
day after, after the next evening was prepared, or after that one is over. All chance comes from a seed.
"""

import csv
import random
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from datetime import date, timedelta
from pathlib import Path

import chess

from coachbook.club.book import Book, open_book
from coachbook.club.sheets import Prepared, load_worksheet, prepared_for
from coachbook.club.students import in_order
from coachbook.endgame.probe import shortest_line
from coachbook.model.play_outs import read_card_code
from coachbook.model.syllabus import Goal, PlayOut
from coachbook.model.worksheet import AnswerForm, Exercise, Worksheet
from coachbook.wording.exercises import accepted_words, option_words
from coachbook.workflows.evening_log import CROSS, TICK
from coachbook.workflows.members import planned_session
from coachbook.workflows.standings import load_syllabus
from tests.bench.keystrokes import shortest
from tests.cli.drive import done

ABSENT, FORGOTTEN_SHEET = 0.1, 0.04
UNREADABLE = "Zz9"
SYLLABUS = load_syllabus()


@dataclass(frozen=True, slots=True)
class Written:
    """What was typed for an item, and whether it is right."""

    text: str
    right: bool
    on: date


@dataclass(frozen=True, slots=True)
class Term:
    first: date
    evenings: int
    goal: int
    cancelled: date
    prepared: bool
    """Whether everything was made ready for the evening that was cancelled."""

    @property
    def last(self) -> date:
        return self.first + timedelta(weeks=self.evenings - 1)

    @property
    def held(self) -> list[date]:
        days = [self.first + timedelta(weeks=week) for week in range(self.evenings)]
        return [day for day in days if day != self.cancelled]


@dataclass(slots=True)
class Year:
    """A club in a folder, its groups with their students, and all that its coaches have typed so far."""

    folder: Path
    groups: dict[str, tuple[str, ...]]
    seed: int
    answers: dict[tuple[str, str, int], Written] = field(default_factory=dict)
    there: dict[tuple[date, str], bool] = field(default_factory=dict)
    play_outs: list[tuple[date, str, str]] = field(default_factory=list)
    notes: list[tuple[date, str, str]] = field(default_factory=list)
    waiting: list[date] = field(default_factory=list)
    """Evenings that the late coach has not logged yet."""
    entries: int = 0
    """How many entries of the log there should be."""
    told: list[str] = field(default_factory=list)
    """What `evening prepare` had to say besides the files."""

    @property
    def book(self) -> Book:
        return open_book(self.folder / "club.book")

    def found(self) -> None:
        """A new club, its students out of a table."""
        done("club", "new", "Harbour Lane")
        rows = [(name, group) for group, names in self.groups.items() for name in names]
        done("student", "import", self._table("students.csv", ("name", "group"), rows))
        done("group", "add", "Visitors")

    def plan(self, term: Term) -> None:
        """A term of all groups in one room."""
        days = ("--from", str(term.first), "--until", str(term.last), "--weekday", f"{term.first:%A}")
        done("term", "plan", *self._room, *days, "--minutes", "90", "--goal", str(term.goal), "--at", "18:30")

    def live(self, term: Term, following: Term | None = None) -> None:
        """A term that is planned, held evening by evening; two evenings before its end the following one
        is planned."""
        for on in term.held:
            if on - timedelta(weeks=1) == term.cancelled:
                self._cancel(term)
            self._prepare(on)
            self._hold(on)
            if following is not None and on == term.held[-3]:
                self.plan(following)
        self.catch_up()

    @property
    def _room(self) -> list[str]:
        return [word for group in self.groups for word in ("--group", group)]

    def catch_up(self) -> None:
        """The late coach logs all that waits."""
        while self.waiting:
            self._log_table(self.waiting.pop(0))

    def papers(self, group: str, on: date) -> dict[str, Prepared]:
        with self.book.reading() as page:
            return prepared_for(page, group, on)

    def sheet(self, code: str) -> Worksheet:
        with self.book.reading() as page:
            return load_worksheet(page, code)

    def chance(self, *what: object) -> random.Random:
        return random.Random(" ".join(map(str, (self.seed, *what))))  # noqa: S311 - invented coaches

    def _log(self, *arguments: str, entries: int = 1, lines: Sequence[str] = ()) -> str:
        """A command that logs; the lines are what is typed into it."""
        self.entries += entries
        return done(*arguments, typed="".join(f"{line}\n" for line in lines))

    def _cancel(self, term: Term) -> None:
        if term.prepared:
            done("evening", "prepare", str(term.cancelled))
        told = done(
            "term", "replan", *self._room, "--from", str(term.cancelled), "--skip", str(term.cancelled)
        )
        assert 1 <= told.count(f"{term.cancelled}: was ") <= len(self.groups)

    def _prepare(self, on: date) -> None:
        """Before the evening; the late coach, if prepared without the last one logged, once more."""
        week = on.isocalendar().week
        if week % 3 == 0:
            self.catch_up()
        self.told += done("evening", "prepare", str(on)).splitlines()[4:]
        if week % 3 == 1:
            self.catch_up()
            self.told += done("evening", "prepare", str(on)).splitlines()[4:]

    def _hold(self, on: date) -> None:
        for names in self.groups.values():
            for name in names:
                self.there[on, name] = self.chance("there", on, name).random() >= ABSENT
        first, *others = self.groups
        self._close(first, on)
        if others:
            self._tick(others[0], on)
        self.waiting.append(on)

    def _present(self, group: str, on: date) -> list[str]:
        return sorted((name for name in self.groups[group] if self.there[on, name]), key=in_order)

    def _absent(self, group: str, on: date) -> list[str]:
        return [name for name in self.groups[group] if not self.there[on, name]]

    def _close(self, group: str, on: date) -> None:
        """`evening close`, with everything typed out; now and then something is not finished."""
        papers, present = self.papers(group, on), self._present(group, on)
        lines = [", ".join(self._absent(group, on)), "y"]
        sheets = [(name, self.sheet(papers[name].sheet)) for name in present if papers[name].sheet]
        typed = [self._typed(name, sheet, on) for name, sheet in sheets]
        for line in typed:
            lines += [line, *[""] * line.count(UNREADABLE)]  # that it stands there so
        lines += ["y"] if any(typed) else []
        cards = [(name, card) for name in present for card in papers[name].cards]
        for number, (name, card) in enumerate(cards, start=1):
            lines.append(f"{number} {self._played(name, card, on)}")
        with self.book.reading() as page:
            session = planned_session(page, group, on)
        units = list(dict.fromkeys(slot.unit for slot in session.slots if slot.unit)) if session else []
        lines += [""] if cards or any(SYLLABUS.unit(unit).play_outs for unit in units) else []
        if present and units:
            self.notes.append((on, present[0], "helped a neighbour"))
            lines.append(f"{present[0]}, {units[0]}: helped a neighbour")
        slow = self.chance("slow", on).random() < 0.1
        lines += ["", *(["1" if slow else ""] if units else [])]
        entries = 1 + any(typed) + len(cards) + bool(present and units)
        told = self._log("evening", "close", str(on), "--group", group, entries=entries, lines=lines)
        assert f"\n{group}: closed; " in told, told

    def _tick(self, group: str, on: date) -> None:
        """One command for each thing; answers as marks that were made on paper."""
        absent = ", ".join(self._absent(group, on))
        day = ("--date", str(on))
        self._log("log", "attendance", "--group", group, *day, lines=(absent, "y"))
        lines, present = [], self._present(group, on)
        for name, sheet in self._waiting_sheets(on):
            lines.append(self._ticks(name, sheet, on) if name in present else "")
        if any(lines):
            self._log("log", "answers", "--ticks", *day, lines=(*lines, "y"))
        self._log_play_outs(group, on)

    def _waiting_sheets(self, on: date) -> list[tuple[str, Worksheet]]:
        """In the order in which `log answers` asks for them: not of those who are known to be absent."""
        logged = {sheet for _, sheet, _ in self.answers}
        away = {name for group in list(self.groups)[:2] for name in self._absent(group, on)}
        given = [(name, each.sheet) for group in self.groups for name, each in self.papers(group, on).items()]
        left = [(name, code) for name, code in given if code and code not in logged and name not in away]
        return [(name, self.sheet(code)) for name, code in sorted(left, key=lambda each: in_order(each[0]))]

    def _log_table(self, on: date) -> None:
        """The last group's evening, out of a table."""
        group = list(self.groups)[-1]
        present, day = self._present(group, on), ("--date", str(on))
        rows = [(on, name, "yes" if name in present else "no") for name in self.groups[group]]
        self._log(
            "log", "attendance", "--table", self._table("there.csv", ("date", "student", "present"), rows)
        )
        answers = []
        papers = self.papers(group, on)
        for name in present:
            if papers[name].sheet:
                sheet = self.sheet(papers[name].sheet)
                answers += [
                    (name, sheet.code, number, written)
                    for number, written in enumerate(self._write(name, sheet, on), start=1)
                ]
        if answers:
            table = self._table("answers.csv", ("student", "sheet", "item", "answer"), answers)
            self._log("log", "answers", "--table", table, *day)
        self._log_play_outs(group, on)
        if present:
            self.notes.append((on, present[0], "explained it"))
            self._log("log", "note", present[0], "mate-in-one", "explained it", "--can", *day)

    def _log_play_outs(self, group: str, on: date) -> None:
        for name in self._present(group, on):
            for card in self.papers(group, on)[name].cards:
                self._log("log", "playout", name, card, self._played(name, card, on), "--date", str(on))

    def _typed(self, name: str, sheet: Worksheet, on: date) -> str:
        return "; ".join(self._write(name, sheet, on))

    def _ticks(self, name: str, sheet: Worksheet, on: date) -> str:
        written = self._write(name, sheet, on)
        signs = ""
        for number in range(1, len(written) + 1):
            kept = self.answers[name, sheet.code, number]
            self.answers[name, sheet.code, number] = Written(TICK if kept.right else CROSS, kept.right, on)
            signs += "1" if kept.right else "0"
        return "=" if signs and "0" not in signs else signs

    def _write(self, name: str, sheet: Worksheet, on: date) -> list[str]:
        """A student's answers to a sheet, none if it was forgotten at home."""
        chance = self.chance(name, sheet.code)
        if chance.random() < FORGOTTEN_SHEET:
            return []
        able = 0.5 + 0.45 * self.chance("able", name).random()
        texts = []
        for number, item in enumerate(sheet.items, start=1):
            right = chance.random() < able
            text = right_answer(item, chance) if right else wrong_answer(item, chance)
            self.answers[name, sheet.code, number] = Written(text, right, on)
            texts.append(text)
        return texts

    def _played(self, name: str, card: str, on: date) -> str:
        self.play_outs.append((on, name, card))
        return play(play_out_of(card), self.chance(name, card, on))

    def _table(self, name: str, columns: Sequence[str], rows: Iterable[Sequence[object]]) -> str:
        path = self.folder / name
        with path.open("w", newline="", encoding="utf-8") as file:
            csv.writer(file).writerows((columns, *rows))
        return str(path)


def right_answer(item: Exercise, chance: random.Random) -> str:
    """Right, short or as on the key."""
    if chance.random() < 0.5 or not item.answer.accepted:
        return shortest(item)
    return ", ".join(accepted_words(item.answer)[: None if item.answer.all_needed else 1])


def wrong_answer(item: Exercise, chance: random.Random) -> str:
    """Wrong, in the form that is asked for."""
    answer = item.answer
    if answer.form is AnswerForm.NUMBER:
        return str(int(answer.accepted[0]) + chance.choice((1, 2, 3)))
    if answer.form is AnswerForm.CHOICE:
        return chance.choice(
            [option_words(option) for option in answer.options if option not in answer.accepted]
        )
    if answer.form is AnswerForm.SQUARES:
        return chance.choice([square for square in chess.SQUARE_NAMES if square not in answer.accepted])
    board = chess.Board(item.position.fen)
    accepted = answer.accepted[:1] if answer.form is AnswerForm.LINE else answer.accepted
    right = {board.parse_san(san) for san in accepted}
    others = [board.san(move) for move in board.legal_moves if move not in right]
    return chance.choice([*others, UNREADABLE])


def play_out_of(card: str) -> PlayOut:
    unit, number = read_card_code(card) or ("", 0)
    return SYLLABUS.unit(unit).play_outs[number - 1]


def play(asked: PlayOut, chance: random.Random) -> str:
    """How a play-out went, told in words or, if few men are on the board, by its moves."""
    board = chess.Board(asked.fen)
    if asked.goal is Goal.WIN and chance.random() < 0.2:
        return board.variation_san(list(shortest_line(board)))
    good = f"mated in {chance.randint(3, asked.allowance)}" if asked.goal is Goal.WIN else "held"
    return chance.choice(
        (good, good, good, "gave up", "stalemate" if asked.goal is Goal.WIN else "was mated")
    )

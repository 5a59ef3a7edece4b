"""The graded syllabus: levels, their units, and what each unit asks for."""

from dataclasses import dataclass
from difflib import get_close_matches
from enum import StrEnum

from coachbook.errors import CoachbookError
from coachbook.model.known_themes import Themes

_END_OF_SENTENCE = "?!."


@dataclass(frozen=True, slots=True)
class KindUse:
    """A kind of exercise in a unit, with its range of difficulty (1 to 100, inclusive), and the themes that
    say which of its positions belong to the unit."""

    kind: str
    easiest: int
    hardest: int
    themes: Themes = ()


@dataclass(frozen=True, slots=True)
class ClassQuestion:
    """A question to ask the class, and the answer to expect; the likely wrong answer and what to reply to it,
    or ""; the position that it is about (FEN), or "" for the one on the board."""

    ask: str
    expect: str
    wrong: str = ""
    reply: str = ""
    fen: str = ""


@dataclass(frozen=True, slots=True)
class SecureRule:
    """When a unit counts as secure: on so many separate evenings, each with at least
    `items` items answered and at least `share` (0 to 1) of them right, and so many play-outs
    that reached their goal within the allowance."""

    evenings: int
    items: int
    share: float
    play_outs: int = 0


class Goal(StrEnum):
    """What the student, who is the side to move, is to reach in a position."""

    WIN = "win"
    DRAW = "draw"


@dataclass(frozen=True, slots=True)
class PlayOut:
    """A position to play out; the coach or a partner takes the side that is not to move.

    `allowance` counts the student's moves: mate within so many, or hold the draw for so many.
    """

    fen: str
    allowance: int
    goal: Goal = Goal.WIN


@dataclass(frozen=True, slots=True)
class ShownMove:
    """A move in SAN, and what the coach says with it; claims that are checked stand in it in braces."""

    san: str
    words: str


@dataclass(frozen=True, slots=True)
class Show:
    """A line to be shown to the class from a position; the side to move is the student's, and begins.

    `until` is the claim with which it ends, such as "mate" (see `exercises.show_claims`).
    """

    fen: str
    line: tuple[ShownMove, ...]
    until: str


@dataclass(frozen=True, slots=True)
class Unit:
    """One teachable unit. `endings` name the tables its positions come from (KQK, KRRK).

    `method` names a method of coachbook.method, or is empty. In the demonstration the side to
    move is the student's, and reaches the `demonstration_goal` with best play; `shows` are what is played
    out for the class, from it or from other positions. `say` are things to tell the class in order, `slips`
    what commonly goes wrong, each one sentence; `ahead` and `behind` what to do with those who are done
    early, and with those who can't follow yet.
    """

    code: str
    title: str
    level: int
    prerequisites: tuple[str, ...]
    aim: str
    endings: tuple[str, ...]
    method: str
    demonstration: str
    say: tuple[str, ...]
    questions: tuple[ClassQuestion, ...]
    slips: tuple[str, ...]
    kinds: tuple[KindUse, ...]
    play_outs: tuple[PlayOut, ...]
    minutes: int
    secure: SecureRule
    ahead: tuple[str, ...] = ()
    behind: tuple[str, ...] = ()
    demonstration_goal: Goal = Goal.WIN
    shows: tuple[Show, ...] = ()

    def play_out(self, number: int) -> PlayOut:
        """That of a number, from 1. Raises CoachbookError if there is none."""
        if not 1 <= number <= len(self.play_outs):
            raise CoachbookError(
                f"The unit {self.code} has no play-out {number}.", f"It has {len(self.play_outs) or 'none'}."
            )
        return self.play_outs[number - 1]


@dataclass(frozen=True, slots=True)
class Level:
    """A level with its units in teaching order."""

    number: int
    title: str
    units: tuple[Unit, ...]


def level_code(number: int) -> str:
    """What a level is called where nobody knows its title, such as "level 2"."""
    return f"level {number}"


@dataclass(frozen=True, slots=True)
class Syllabus:
    """All levels in order."""

    levels: tuple[Level, ...]

    @property
    def units(self) -> tuple[Unit, ...]:
        return tuple(unit for level in self.levels for unit in level.units)

    @property
    def titles(self) -> dict[str, str]:
        """The titles of units by their codes."""
        return {unit.code: unit.title for unit in self.units}

    @property
    def titles_in_plans(self) -> dict[str, str]:
        """The titles of units by their codes, and those of levels by `level_code`."""
        return {**self.titles, **{level_code(level.number): level.title for level in self.levels}}

    def unit(self, code: str) -> Unit:
        """The unit with this code, or of this title, whatever the case. Raises CoachbookError if there is
        none."""
        for unit in self.units:
            if unit.code == code.lower():
                return unit
        return self._by_title(code)

    def _by_title(self, asked: str) -> Unit:
        plain = " ".join(asked.casefold().replace("\N{RIGHT SINGLE QUOTATION MARK}", "'").split())
        by_name = {unit.code: unit for unit in self.units}
        by_name |= {unit.title.casefold(): unit for unit in self.units}
        by_name |= {unit.title.casefold().rstrip(_END_OF_SENTENCE): unit for unit in self.units}
        if (name := plain.rstrip(_END_OF_SENTENCE)) in by_name:
            return by_name[name]
        near = get_close_matches(plain, by_name, n=1)
        known = ", ".join(unit.code for unit in self.units)
        hint = f"Did you mean {by_name[near[0]].code}?" if near else f"Choose one of: {known}."
        raise CoachbookError(f"There is no unit '{asked}'.", hint)

    def level_of(self, unit: Unit) -> Level:
        return next(level for level in self.levels if level.number == unit.level)

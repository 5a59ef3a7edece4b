"""Where a student stands in a unit, and who needs review: computed, never stored."""

from dataclasses import dataclass
from datetime import date
from enum import IntEnum, StrEnum

from coachbook.errors import CoachbookError
from coachbook.model.facts import Observation, PlayOutResult
from coachbook.model.syllabus import SecureRule


class Standing(StrEnum):
    """A student's standing in a unit."""

    NEW = "new"
    WORKING = "working"
    SECURE = "secure"
    FADING = "fading"


@dataclass(frozen=True, slots=True)
class Evening:
    """What one student did in one unit on one evening: answers, play-outs and what the coach saw.

    `right` of `tried` answers, blank ones counted as tried; slips with repeats.
    """

    on: date
    right: int = 0
    tried: int = 0
    slips: tuple[str, ...] = ()
    play_outs: tuple[PlayOutResult, ...] = ()
    observations: tuple[Observation, ...] = ()

    def __post_init__(self) -> None:
        if not 0 <= self.right <= self.tried:
            raise CoachbookError(f"{self.right} of {self.tried} answers cannot be right.")
        if not (self.tried or self.play_outs or self.observations):
            raise CoachbookError("An evening on which nothing happened is none.")

    @property
    def telling_play_outs(self) -> tuple[PlayOutResult, ...]:
        """Those that tell what the student can do."""
        return tuple(played for played in self.play_outs if played.counts)

    @property
    def all_slips(self) -> tuple[str, ...]:
        """Slips in answers, then the first slip of each play-out."""
        return self.slips + tuple(played.slip for played in self.play_outs if played.slip)


class Went(IntEnum):
    """How an evening in a unit went, for what is remembered of it."""

    BADLY = 1
    WITH_TROUBLE = 2
    WELL = 3
    WITH_EASE = 4


class Still(StrEnum):
    """What a unit's rule asks for."""

    GOOD_EVENINGS = "good evenings"
    PLAY_OUTS = "play-outs"


@dataclass(frozen=True, slots=True)
class Missing:
    """What a unit's rule asks for and is not there yet: so many of which some are `done`. A good evening has
    `items` answers or more, of which the `share` is right."""

    what: Still
    asked: int
    done: int
    items: int = 0
    share: float = 0.0


@dataclass(frozen=True, slots=True)
class UnitProgress:
    """A student's standing in a unit with its evidence.

    `recall` is the predicted share (0 to 1) of recall on the day asked about, `due_on` the day from which on
    it is to be reviewed; both None without evidence. `missing` is what is missing for the unit's rule, empty
    once it is met. `is_sure` tells whether there is enough evidence to rely on the prediction, `last_went`
    how the last evening went that tells something.
    """

    student: str
    unit: str
    standing: Standing
    evenings: tuple[Evening, ...]
    recall: float | None
    due_on: date | None
    missing: tuple[Missing, ...] = ()
    is_sure: bool = False
    last_went: Went | None = None

    def is_due(self, by: date) -> bool:
        """Whether it is to be reviewed by a day; what went badly is due on the same evening, too."""
        return self.due_on is not None and (self.due_on <= by or self.last_went is Went.BADLY)


@dataclass(frozen=True, slots=True)
class EarnedUnit:
    """A unit by code and title, and the first day on which its rule was met (None if something is `missing`);
    `is_due` tells whether it is to be brought back now, which takes nothing away."""

    unit: str
    title: str
    on: date | None
    missing: tuple[Missing, ...]
    is_due: bool


@dataclass(frozen=True, slots=True)
class EarnedLevel:
    """What a student has earned of a level, its units in order."""

    student: str
    level: int
    units: tuple[EarnedUnit, ...]


@dataclass(frozen=True, slots=True)
class ReviewAdvice:
    """One student who needs review in one unit: what happened there the last time, how many days ago, and
    what to give.

    `items` is how many items of a sheet to give, `play_out` the code of a card to play instead, or "".
    """

    student: str
    unit: str
    unit_title: str
    urgency: float
    due_on: date
    last: Evening
    days_ago: int
    items: int = 0
    play_out: str = ""
    is_sure: bool = False


class DecidedBy(StrEnum):
    """What of an evening decided how it counts."""

    ANSWERS = "answers"
    PLAY_OUT = "play-out"
    SEEN = "seen"


@dataclass(frozen=True, slots=True)
class WhyDue:
    """Why a student stands in a unit as `progress` says on `today`, and why it is due when it is.

    `rule` is what the unit asks for. `last_on` is the last evening that tells something (None if there is
    none), `decided_by` what of it decided how it went, and `well_in_a_row` how many evenings up to it
    went well. `target` is the share (0 to 1) of recall below which a unit is due.
    """

    progress: UnitProgress
    title: str
    today: date
    rule: SecureRule
    last_on: date | None
    decided_by: DecidedBy | None
    well_in_a_row: int
    target: float

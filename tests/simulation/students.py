"""Invented students, who learn and forget by the memory model of the package `fsrs`.

**What is the model's.** Each student has a memory of each unit: FSRS-6 with its default weights, no
random spreading of dates, no steps shorter than a day. The chance that a student still knows a unit is
the recall that this memory gives. What happens on an evening changes it once for each unit, however
many items, cards and minutes that evening had of it.

**What is invented, without a source.**

- A student has an ability, a unit comes easier to one than to another: the two make a *talent* from
  0 to 1. It says how likely an explanation sinks in (0.60 to 0.95), how often somebody who knows the
  unit still slips (0.20 to 0.04), and how often what is known counts as known with trouble or with ease
  (each from 0 to 0.3).
- On an evening a student either knows a unit or does not: one throw with the chance of recall, and the
  memory is told "forgotten" or "remembered". Who has forgotten it and hears it explained may know it
  again for that evening; a sheet alone does not bring it back before it is marked.
- Who knows the unit gets each item right but for slips; who does not gets one in five right by luck.
- A play-out reaches its goal, and within the allowance, where an item would be right; else it is given
  up.
- Who missed the explanation and meets the unit on a sheet has half the chance that it sinks in.
- One evening in ten a student is absent.
- Two items of review do as much for the memory as a whole sheet. So says the model, which knows no
  amounts; it is kind to any plan that gives few items of many units.

All chance comes from the seed, the student's name, the unit and the date: the same students live
through every plan, absent on the same evenings.
"""

import random
from dataclasses import dataclass, field
from datetime import UTC, date, datetime, time

from fsrs import Card, Rating, Scheduler

from coachbook.exercises.generate import derived_seed

ABSENCE = 0.1
LUCK = 0.2
_SCHEDULER = Scheduler(learning_steps=(), relearning_steps=(), enable_fuzzing=False)


@dataclass(slots=True)
class SimulatedStudent:
    """One student, with a memory for each unit that was met."""

    name: str
    seed: int
    memories: dict[str, Card] = field(default_factory=dict)

    def is_there(self, on: date) -> bool:
        return self._chance("there", str(on)).random() >= ABSENCE

    def recall(self, unit: str, on: date) -> float:
        """The chance, from 0 to 1, that the student knows a unit on a day; 0 if it was never met."""
        card = self.memories.get(unit)
        return _SCHEDULER.get_card_retrievability(card, _noon(on)) if card else 0.0

    def meets(self, unit: str, on: date, *, explained: bool) -> "Performance":
        """The unit comes up on an evening: the memory changes, once, and says how the student does."""
        chance, talent = self._chance(unit, str(on)), self._talent(unit)
        sinks_in = chance.random() < (0.6 + 0.35 * talent) * (1 if explained or self._has_met(unit) else 0.5)
        remembers = chance.random() < self.recall(unit, on) if self._has_met(unit) else sinks_in
        rating = _rating(chance, talent) if remembers else Rating.Again
        card = self.memories.get(unit) or Card(card_id=1, due=_noon(on))
        self.memories[unit], _ = _SCHEDULER.review_card(card, rating, _noon(on))
        knows = remembers or (explained and sinks_in)
        return Performance(1 - (0.2 - 0.16 * talent) if knows else LUCK, chance)

    def _has_met(self, unit: str) -> bool:
        return unit in self.memories

    def _talent(self, unit: str) -> float:
        ability = 0.15 + 0.7 * self._chance("ability").random()
        return min(1.0, max(0.0, self._chance("talent", unit).gauss(ability, 0.15)))

    def _chance(self, *what: str) -> random.Random:
        return random.Random(derived_seed(self.seed, self.name, *what))  # noqa: S311 - invented students


@dataclass(slots=True)
class Performance:
    """How a student does in a unit on an evening: the chance that an item is right."""

    chance_of_right: float
    chance: random.Random

    def is_right(self) -> bool:
        """The next item, or play-out."""
        return self.chance.random() < self.chance_of_right


def _rating(chance: random.Random, talent: float) -> Rating:
    """How what is remembered counts: the better the talent, the more often with ease."""
    thrown = chance.random()
    if thrown < 0.3 * (1 - talent):
        return Rating.Hard
    return Rating.Easy if thrown >= 1 - 0.3 * talent else Rating.Good


def _noon(on: date) -> datetime:
    return datetime.combine(on, time(12), UTC)

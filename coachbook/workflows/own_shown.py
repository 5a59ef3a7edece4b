"""A coach's own positions for a screen: what each is good for, or why it cannot be used."""

from dataclasses import dataclass

from coachbook.errors import Advice, CoachbookError, Step
from coachbook.exercises.kinds import find_kind
from coachbook.model.position import Position
from coachbook.model.worksheet import Exercise
from coachbook.paper.text import notated
from coachbook.wording.exercises import answer_in_short
from coachbook.workflows.own_positions import Offer, OwnPosition, Progress, offered, offers, positions_in

_PASTED = "what was pasted"


@dataclass(frozen=True, slots=True)
class SuitedKind:
    """A kind of exercise that a position suits: its code, what it asks, and what is right then."""

    kind: str
    title: str
    answer: str


@dataclass(frozen=True, slots=True)
class OwnShown:
    """A position that was pasted: where it stood and how; then why it cannot be used, or "", and the board,
    with colours `exchanged` so that White is the stronger side. `unsuited` has each reason with what cannot
    be asked for it."""

    where: str
    text: str
    fault: str
    position: Position | None
    exchanged: bool
    suits: tuple[SuitedKind, ...]
    unsuited: tuple[tuple[str, tuple[str, ...]], ...]


@dataclass(frozen=True, slots=True)
class OwnShownAll:
    """All that were pasted, and the kinds that suit any of them: code, what it asks, and how many."""

    positions: tuple[OwnShown, ...]
    kinds: tuple[tuple[str, str, int], ...]


def own_shown(text: str, letters: str, progress: Progress) -> OwnShownAll:
    """What was pasted (FEN or EPD line by line, or PGN), answers with these letters for the men. Raises
    CoachbookError if there is no position in it."""
    found = offered(positions_in(text, _PASTED), progress)
    shown = tuple(_shown(position, made, letters) for position, made in found)
    suited = [each for one in shown for each in one.suits]
    counts = {each.kind: sum(other.kind == each.kind for other in suited) for each in suited}
    titles = {each.kind: each.title for each in suited}
    return OwnShownAll(shown, tuple((kind, titles[kind], count) for kind, count in sorted(counts.items())))


def suiting_exercises(text: str, kind: str, unit: str) -> tuple[Exercise, ...]:
    """A verified exercise of a kind from each position that suits it. Raises CoachbookError if none does."""
    positions = positions_in(text, _PASTED)
    made = [each.exercise for position in positions for each in offers(position, unit) if each.kind == kind]
    found = tuple(exercise for exercise in made if exercise is not None)
    if not found:
        raise CoachbookError("None of your positions suits this.", Advice(Step.LOOK_AT_OWN_POSITIONS))
    return found


def _shown(position: OwnPosition, made: tuple[Offer, ...], letters: str) -> OwnShown:
    suits = tuple(
        SuitedKind(each.kind, find_kind(each.kind).title, _answer(each.exercise, letters))
        for each in made
        if each.exercise is not None
    )
    reasons = dict.fromkeys(each.reason for each in made if each.exercise is None)
    return OwnShown(
        where=position.where,
        text=position.text,
        fault=position.fault,
        position=Position(position.board.fen()) if position.board is not None else None,
        exchanged=position.exchanged,
        suits=suits,
        unsuited=tuple(
            (reason, tuple(find_kind(each.kind).title for each in made if each.reason == reason))
            for reason in reasons
        ),
    )


def _answer(exercise: Exercise, letters: str) -> str:
    return notated(answer_in_short(exercise.answer), letters)

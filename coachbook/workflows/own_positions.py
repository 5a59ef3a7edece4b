"""A coach's own positions: what they are worth, for which kinds they serve, and a sheet of them."""

import sys
from pathlib import Path

from coachbook.errors import CoachbookError
from coachbook.exercises.own import Offer, OwnPosition, offers, read_positions
from coachbook.model.exercise import Exercise


def read_source(source: str) -> tuple[OwnPosition, ...]:
    """The positions of a file, of standard input ("-"), or of the text itself. Raises CoachbookError."""
    path = Path(source)
    try:
        if source == "-":
            text = sys.stdin.read()
        else:
            text = path.read_text(encoding="utf-8-sig") if "/" not in source or path.is_file() else source
    except (OSError, ValueError) as error:
        told = getattr(error, "strerror", None) or "it is not text in UTF-8"
        raise CoachbookError(
            f"'{source}' cannot be read ({told}).",
            "Name a file with FEN, EPD or PGN, or write a FEN in quotes.",
        ) from error
    found = read_positions(text)
    if not found:
        raise CoachbookError(f"There is no position in '{source}'.", "Write one FEN or EPD a line, or PGN.")
    return found


def offered(positions: tuple[OwnPosition, ...]) -> tuple[tuple[OwnPosition, tuple[Offer, ...]], ...]:
    """Each position with what every kind makes of it."""
    return tuple((position, offers(position, "own")) for position in positions)


def own_exercises(source: str, kind: str, unit: str) -> tuple[Exercise, ...]:
    """A verified exercise of a kind from each position of a source. Raises CoachbookError for the
    first position of which the kind can't make one, with the reason."""
    exercises = []
    for position in read_source(source):
        if position.fault:
            raise CoachbookError(f"{position.where} ('{position.text}'): {position.fault}.", "Take it out.")
        offer = next((each for each in offers(position, unit) if each.kind == kind), None)
        if offer is None:
            raise CoachbookError(f"There is no kind '{kind}'.", "See 'coachbook exercise list'.")
        if offer.exercise is None:
            raise CoachbookError(
                f"{position.where} ('{position.text}') makes no {kind}: {offer.reason}.",
                "See 'coachbook exercise own' for the kinds that it suits.",
            )
        exercises.append(offer.exercise)
    return tuple(exercises)

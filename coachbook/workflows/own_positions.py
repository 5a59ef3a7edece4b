"""A coach's own positions: what they are worth, for which kinds they serve, and a sheet of them."""

import errno
import sys
from collections.abc import Callable
from pathlib import Path

from coachbook.errors import CoachbookError
from coachbook.exercises.own import Offer, OwnPosition, offers, read_positions
from coachbook.files.reading import LARGEST, MEGABYTE, read_text
from coachbook.model.exercise import Exercise

Progress = Callable[[int, int, str], None]
"""(done, of how many, what is being done)."""


def read_source(source: str) -> tuple[OwnPosition, ...]:
    """The positions of a file, of standard input ("-"), or of the text itself. Raises CoachbookError."""
    path = Path(source)
    try:
        if source == "-":
            text = _typed()
        else:
            text = read_text(path) if "/" not in source or path.exists() else source
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


def _typed() -> str:
    """Standard input, which may have no end. Raises OSError for too much of it."""
    text = sys.stdin.read(LARGEST + 1)
    if len(text) > LARGEST:
        raise OSError(errno.EFBIG, f"it has more than {LARGEST // MEGABYTE} MB")
    return text


def offered(
    positions: tuple[OwnPosition, ...], progress: Progress = lambda _done, _of, _what: None
) -> tuple[tuple[OwnPosition, tuple[Offer, ...]], ...]:
    """Each position with what every kind makes of it."""
    found = []
    for number, position in enumerate(positions):
        progress(number, len(positions), position.where)
        found.append((position, offers(position, "own")))
    return tuple(found)


def own_exercises(
    source: str, kind: str, unit: str, progress: Progress = lambda _done, _of, _what: None
) -> tuple[Exercise, ...]:
    """A verified exercise of a kind from each position of a source. Raises CoachbookError for the
    first position of which the kind can't make one, with the reason."""
    exercises = []
    positions = read_source(source)
    for number, position in enumerate(positions):
        progress(number, len(positions), position.where)
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

"""A coach's own positions: read from FEN, EPD or PGN, what they are worth, a sheet of them, and how a
screen shows them.

A position suits a kind just when the kind would have found it in the tables itself; then the
exercise is drafted and verified like any other. So nothing unsound gets on paper.
"""

import io
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path

import chess
import chess.pgn

from coachbook.endgame.material import material_of
from coachbook.endgame.probe import probe
from coachbook.endgame.tables import MOST_MEN
from coachbook.errors import Advice, CoachbookError, Step
from coachbook.exercises.generate import exercise_of, survey_of
from coachbook.exercises.kind import Kind
from coachbook.exercises.kinds import find_kind, kind_names
from coachbook.exercises.verify import check_exercise
from coachbook.files.reading import read_text
from coachbook.model.position import Position, names_side
from coachbook.model.worksheet import Exercise
from coachbook.paper.text import notated
from coachbook.wording.exercises import answer_in_short

_NO_SIDE = "it does not say who is to move: add ' w' or ' b' after the pieces"


@dataclass(frozen=True, slots=True)
class OwnPosition:
    """A position that a coach brought. `where` says where it stood ("line 3", "game 2").

    `fault` says why it can't be used at all, or is ""; then `board` is legal, known to the tables
    and shows the stronger side as White (`exchanged`: it was Black's).
    """

    where: str
    text: str
    board: chess.Board | None = None
    exchanged: bool = False
    fault: str = ""


@dataclass(frozen=True, slots=True)
class Offer:
    """What a kind makes of a position: a verified exercise, or the reason why there is none."""

    kind: str
    exercise: Exercise | None
    reason: str = ""


def read_positions(text: str) -> tuple[OwnPosition, ...]:
    """All positions of a text: PGN if it has tags, else one FEN or EPD a line.

    Of a game that starts from a set-up position that one is taken, else its first position with
    at most four men. Empty lines and lines that start with # are passed over.
    """
    games = text.lstrip().startswith("[")
    return tuple(_from_games(text) if games else _from_lines(text))


def offers(position: OwnPosition, unit: str, seed: int = 0) -> tuple[Offer, ...]:
    """What each kind makes of a position without fault, in order of the kinds' names."""
    if position.board is None:
        return ()
    return tuple(_offer(name, find_kind(name), position.board, unit, seed) for name in kind_names())


def _offer(name: str, kind: Kind, board: chess.Board, unit: str, seed: int) -> Offer:
    side = 0 if board.turn else 1
    if side not in kind.sides:
        return Offer(name, None, f"it is asked with {'White' if side else 'Black'} to move")
    survey = survey_of(material_of(board).name, side).of_one(board)
    if not len(kind.candidates(survey)):
        return Offer(name, None, "the position does not suit it")
    draft = kind.draft(board)
    if draft is None:
        return Offer(name, None, "its answer would be too long, or not clear")
    exercise = exercise_of(unit, name, board, draft, seed)
    try:
        check_exercise(exercise)
    except CoachbookError as error:
        return Offer(name, None, error.message)
    return Offer(name, exercise)


def _from_lines(text: str) -> Iterator[OwnPosition]:
    for number, line in enumerate(text.splitlines(), start=1):
        bare = line.strip()
        if bare and not bare.startswith("#"):
            yield _checked(f"line {number}", bare, _read_line(bare))


def _read_line(text: str) -> chess.Board | str:
    """The board of a FEN or an EPD, or what is wrong with it."""
    if not names_side(text):
        return _NO_SIDE
    try:
        return chess.Board(text)
    except ValueError:
        pass
    try:
        board, _ = chess.Board.from_epd(text)
    except (ValueError, IndexError, AssertionError):
        return "it is neither FEN nor EPD"
    return board


def _from_games(text: str) -> Iterator[OwnPosition]:
    pgn = io.StringIO(text)
    number = 0
    while (game := chess.pgn.read_game(pgn, Visitor=_QuietBuilder)) is not None:
        number += 1
        title = f"{game.headers.get('White', '?')} - {game.headers.get('Black', '?')}"
        if game.errors:
            yield OwnPosition(f"game {number}", title, fault=f"it cannot be read ({game.errors[0]})")
        else:
            yield _checked(f"game {number}", title, _ending_of(game))


class _QuietBuilder(chess.pgn.GameBuilder[chess.pgn.Game]):
    """Collects what is wrong with a game, and does not also write it to stderr."""

    def handle_error(self, error: Exception) -> None:
        self.game.errors.append(error)


def _ending_of(game: chess.pgn.Game) -> chess.Board | str:
    board = game.board()
    if "FEN" in game.headers:
        return board if names_side(game.headers["FEN"]) else _NO_SIDE
    for move in game.mainline_moves():
        board.push(move)
        if chess.popcount(board.occupied) <= MOST_MEN:
            return board.copy(stack=False)
    return f"it has no position with at most {MOST_MEN} men"


def _checked(where: str, text: str, board: chess.Board | str) -> OwnPosition:
    if isinstance(board, str):
        return OwnPosition(where, text, fault=board)
    if not board.is_valid():
        return OwnPosition(where, text, fault="it is not a legal position")
    if (men := chess.popcount(board.occupied)) > MOST_MEN:
        return OwnPosition(where, text, fault=f"it has {men} men; your own can have up to {MOST_MEN}")
    try:
        probe(board)
    except CoachbookError as error:
        return OwnPosition(where, text, fault=str(error))
    if board.occupied == board.kings:
        return OwnPosition(where, text, fault="there is nothing on it but the kings, and nothing to ask")
    material = material_of(board)
    exchanged = material.canonical != material
    shown = board.mirror() if exchanged else board
    return OwnPosition(where, text, chess.Board(shown.fen()), exchanged)


Progress = Callable[[int, int, str], None]
"""(done, of how many, what is being done)."""


def read_source(source: str) -> tuple[OwnPosition, ...]:
    """The positions of a file, or of the text itself. Raises CoachbookError for one that cannot be read or
    that has none."""
    path = Path(source)
    with readable(source):
        text = read_text(path) if "/" not in source or path.exists() else source
    return positions_in(text, source)


@contextmanager
def readable(source: str) -> Iterator[None]:
    """Within, a source is read. Raises CoachbookError if it cannot be, or is no text."""
    try:
        yield
    except (OSError, ValueError) as error:
        reason = getattr(error, "strerror", None) or "it is not text in UTF-8"
        raise CoachbookError(
            f"'{source}' cannot be read ({reason}).",
            "Name a file with FEN, EPD or PGN, or write a FEN in quotes.",
        ) from error


def positions_in(text: str, source: str) -> tuple[OwnPosition, ...]:
    """The positions of a text that came from `source`. Raises CoachbookError if there are none."""
    found = read_positions(text)
    if not found:
        raise CoachbookError(f"There is no position in '{source}'.", "Write one FEN or EPD a line, or PGN.")
    return found


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
    positions: tuple[OwnPosition, ...],
    kind: str,
    unit: str,
    progress: Progress = lambda _done, _of, _what: None,
) -> tuple[Exercise, ...]:
    """A verified exercise of a kind from each position. Raises CoachbookError for the first position of
    which the kind can't make one, with the reason."""
    exercises = []
    for number, position in enumerate(positions):
        progress(number, len(positions), position.where)
        if position.fault:
            raise CoachbookError(f"{position.where} ('{position.text}'): {position.fault}.", "Take it out.")
        offer = next((each for each in offers(position, unit) if each.kind == kind), None)
        if offer is None:
            raise CoachbookError(f"There is no kind '{kind}'.", Advice(Step.LIST_THE_KINDS))
        if offer.exercise is None:
            raise CoachbookError(
                f"{position.where} ('{position.text}') makes no {kind}: {offer.reason}.",
                Advice(Step.LOOK_AT_OWN_POSITIONS),
            )
        exercises.append(offer.exercise)
    return tuple(exercises)


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

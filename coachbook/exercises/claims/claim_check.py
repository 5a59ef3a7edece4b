"""What must be known of a type of claim, and of a fact that a sentence states."""

from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from functools import cached_property
from typing import Generic, TypeVar

import chess

from coachbook.endgame.probe import after_move
from coachbook.method.methods import find_method
from coachbook.method.rules import Method
from coachbook.model.claims import Claim
from coachbook.model.worksheet import AnswerForm, Exercise, Fact, PlanStep

C = TypeVar("C", bound=Claim)


@dataclass(frozen=True)
class ClaimCheck(Generic[C]):
    """A type of claim.

    `holds` tells whether it is true of a legal position of an ending that the tables know. `answers` gives
    what is right by it, in each form of answer for which it says anything, moves in UCI; `options` what must
    be offered where it is chosen from. `all_asked`: each of its moves or squares must be written, where one
    alone is not enough. `is_played`: a plan begins with one of its moves; `is_quick`: and loses no time.
    `shaded`, `outlined` and `signs` are what the key's diagram shows.
    """

    holds: Callable[[chess.Board, C], bool]
    answers: Mapping[AnswerForm, Callable[[C], frozenset[str]]] = field(default_factory=dict)
    options: Callable[[C], tuple[str, ...]] = lambda _: ()
    all_asked: bool = False
    is_played: bool = True
    is_quick: bool = False
    shaded: Callable[[C], frozenset[int]] = lambda _: frozenset()
    outlined: Callable[[C], frozenset[int]] = lambda _: frozenset()
    signs: Callable[[chess.Board, C], dict[int, str]] = lambda *_: {}


@dataclass(frozen=True)
class Scene:
    """What a sentence is said of: an exercise, the claim on which its answer rests, and a position in it;
    in a plan the `step` that is made there."""

    exercise: Exercise
    claim: Claim | None
    board: chess.Board
    step: PlanStep | None = None

    @property
    def answer_board(self) -> chess.Board:
        """The position of the exercise."""
        return chess.Board(self.exercise.position.fen)

    @cached_property
    def move(self) -> chess.Move | None:
        """The legal move of the step."""
        return read_exactly(self.board, self.step.move) if self.step else None

    @cached_property
    def after(self) -> chess.Board:
        """The position after it."""
        after = self.board.copy(stack=False)
        if self.move is not None:
            after.push(self.move)
        return after

    @cached_property
    def method(self) -> Method | None:
        """The method by which the plan is made."""
        plan = self.exercise.solution.plan
        name = plan.source.fact("method") if plan else None
        return find_method(name) if isinstance(name, str) else None


FactCheck = Callable[[Scene, Fact], bool]


def just(true: Callable[[Scene], Fact | None]) -> FactCheck:
    """The check of a fact of which there is just one true value; None where there is none."""

    def check(scene: Scene, fact: Fact) -> bool:
        value = true(scene)
        return value is not None and type(value) is type(fact) and value == fact

    return check


def read_exactly(board: chess.Board, san: str) -> chess.Move | None:
    """The legal move whose exact name (with its check or mate sign) is `san`."""
    try:
        move = board.parse_san(san)
    except ValueError:
        return None
    return move if move and board.san(move) == san else None


def read_line_exactly(board: chess.Board, sans: Iterable[str]) -> Iterator[tuple[chess.Board, chess.Move]]:
    """Each position of a line with the move made there, as far as each is legal and named exactly."""
    now = board
    for san in sans:
        move = read_exactly(now, san)
        if move is None:
            return
        yield now, move
        now = after_move(now, move)


def moves_after_which(board: chess.Board, wanted: Callable[[chess.Board], bool]) -> frozenset[str]:
    """The legal moves (UCI) after which the position is as wanted."""
    found = set()
    after = board.copy(stack=False)
    for move in board.legal_moves:
        after.push(move)
        if wanted(after):
            found.add(move.uci())
        after.pop()
    return frozenset(found)


def seen_by(square: chess.Square, side: chess.Color) -> tuple[int, int]:
    """File and rank, counted from 0, as a side sees them."""
    file, rank = chess.square_file(square), chess.square_rank(square)
    return file, rank if side else 7 - rank


def names_of(squares: frozenset[int]) -> frozenset[str]:
    """Squares by name."""
    return frozenset(map(chess.square_name, squares))

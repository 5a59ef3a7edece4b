"""The student's moves of a play-out, one by one, beside what the tables and a method say."""

from dataclasses import dataclass
from functools import cached_property

import chess

from coachbook.endgame.probe import JudgedMove, Outcome, Result, judge_moves
from coachbook.method.border import attacker, fits, from_board, move_of
from coachbook.method.rules import Method, choose_all
from coachbook.method.sides import Aim
from coachbook.model.marks import Arrow, ArrowStyle
from coachbook.model.play_out import PlayedMove
from coachbook.model.position import Position
from coachbook.model.syllabus import Goal


def reaches(goal: Goal, outcome: Outcome) -> bool:
    """Whether the goal can be reached, with best play, by the side that the outcome is for."""
    return outcome.result is Result.WIN or (goal is Goal.DRAW and outcome.result is Result.DRAW)


def worth(outcome: Outcome) -> int:
    """The more, the better for the side that the outcome is for: to mate soon, or be mated late."""
    moves = outcome.moves or 0
    return int(outcome.result) * (1000 - moves)


@dataclass(frozen=True, slots=True)
class Ruled:
    """A method's own move, and the short words of the rule that decided."""

    move: JudgedMove
    rule: str


@dataclass(frozen=True)
class Turn:
    """One move of the student: its number, the board before it, and all moves with their outcomes.

    `judged` are sorted, the best first; `played` is one of them. `ruled` are the moves that the
    method leaves tied, in UCI order; empty where the method has nothing to say.
    """

    number: int
    board: chess.Board
    goal: Goal
    judged: tuple[JudgedMove, ...]
    played: JudgedMove
    ruled: tuple[Ruled, ...]

    @property
    def before(self) -> Outcome:
        """With best play, for the student."""
        return self.judged[0].outcome

    @property
    def keeping(self) -> int:
        """How many moves keep the goal in reach."""
        return sum(reaches(self.goal, judged.outcome) for judged in self.judged)

    @property
    def keeps(self) -> bool:
        """The goal was in reach, and after the move it still is."""
        return reaches(self.goal, self.played.outcome)

    @property
    def throws(self) -> bool:
        """The goal was in reach, and after the move it is no more."""
        return reaches(self.goal, self.before) and not self.keeps

    @property
    def is_best(self) -> bool:
        return self.played.outcome == self.before

    @property
    def by_rule(self) -> bool:
        """The move is one of the method's."""
        return any(ruled.move == self.played for ruled in self.ruled)

    @property
    def cost(self) -> int:
        """By how many moves it made the mate later; 0 unless it was and is won."""
        if self.before.moves is None or self.played.outcome.result is not Result.WIN:
            return 0
        return (self.played.outcome.moves or 0) - self.before.moves

    @property
    def other(self) -> str:
        """The coach's side."""
        return "Black" if self.board.turn else "White"

    @cached_property
    def after(self) -> chess.Board:
        """The board after the move."""
        board = self.board.copy(stack=False)
        board.push(self.played.move)
        return board

    def told(self, words: str, better: JudgedMove | None = None) -> PlayedMove:
        """The move with what is to be said of it, and perhaps a better one."""
        own = self.played.move
        shown = better.move if better else own
        return PlayedMove(
            self.number,
            self.played.san,
            Position(self.board.fen()),
            words,
            better.san if better else "",
            Arrow(shown.from_square, shown.to_square),
            Arrow(own.from_square, own.to_square, ArrowStyle.PLAYED) if better else None,
        )


def student_turn(
    number: int, board: chess.Board, move: chess.Move, goal: Goal, method: Method | None
) -> Turn:
    """A legal move of the student on a board that the tables know. Raises CoachbookError else."""
    judged = judge_moves(board)
    played = next(each for each in judged if each.move == move)
    ruled = _ruled(board, judged, goal, method) if method else ()
    return Turn(number, board, goal, judged, played, ruled)


def _ruled(
    board: chess.Board, judged: tuple[JudgedMove, ...], goal: Goal, method: Method
) -> tuple[Ruled, ...]:
    """The method's moves, if it is made for this position and goal and no move of its throws it away."""
    if not fits(board, method) or (method.aim is Aim.DRAW) != (goal is Goal.DRAW):
        return ()
    outcomes = {each.move: each for each in judged}
    before = from_board(board)
    choice = choose_all(method, before)
    found = []
    for row in range(len(choice.moves.of)):
        move = outcomes[move_of(choice.moves, before, row, attacker(board))]
        found.append(Ruled(move, method.rules[choice.rule[0]].name))
    kept = all(reaches(goal, ruled.move.outcome) for ruled in found)
    return tuple(sorted(found, key=lambda ruled: ruled.move.move.uci())) if kept else ()

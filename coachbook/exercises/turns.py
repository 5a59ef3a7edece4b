"""The moves of a play-out beside what the tables and a method say, and the first slip among them."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import cached_property

import chess

from coachbook.endgame.probe import JudgedMove, Outcome, Result, after_move, judge_moves, probe
from coachbook.method.border import attacker, fits, from_board, move_of
from coachbook.method.moves import Aim
from coachbook.method.rules import Method, choose_all
from coachbook.model.facts import Slip
from coachbook.model.play_outs import PlayedMove
from coachbook.model.position import Arrow, ArrowStyle, Position
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


_SLOW = 3
"""A move that makes the mate so many moves later is worth a word, if nothing was thrown away."""


def find_slip(turns: Sequence[Turn]) -> tuple[str, PlayedMove | None]:
    """The first slip's code and move; else "" and the slowest move, if it cost three moves or more.

    A slip throws the goal away, or leaves a piece to be taken for nothing though the goal stays in
    reach. Who followed the method has not been slow.
    """
    for turn in turns:
        if turn.throws:
            return _thrown(turn)
        safe = _safe_move(turn)
        if safe:
            told = f"{turn.other} can take the {_lost_piece(turn.after)}."
            return Slip.PIECE_LOST, turn.told(told, safe)
    slow = [turn for turn in turns if turn.cost >= _SLOW and not turn.by_rule]
    if not slow:
        return "", None
    slowest = max(slow, key=lambda turn: turn.cost)
    before, after = slowest.before.moves, slowest.played.outcome.moves
    told = f"Cost {slowest.cost} moves: from mate in {before} to mate in {after}."
    return "", slowest.told(told, _better(slowest))


def moves_off_method(turns: Iterable[Turn]) -> tuple[PlayedMove, ...]:
    """The moves that the method would not have made, each with the rule that decides there.

    A move as quick as any has no better one.
    """
    return tuple(_off_method(turn) for turn in turns if turn.ruled and not turn.by_rule)


def _off_method(turn: Turn) -> PlayedMove:
    ruled = turn.ruled[0]
    told = f"the rule “{ruled.rule}” says {ruled.move.san}"
    if turn.goal is Goal.WIN and turn.is_best:
        return turn.told(f"as quick as any move; {told}")
    return turn.told(told, ruled.move)


def _thrown(turn: Turn) -> tuple[Slip, PlayedMove]:
    """Which slip threw the goal away."""
    change = f"From {_in_words(turn, turn.before)} to {_in_words(turn, turn.played.outcome)}."
    lost = _decisive_capture(turn)
    if turn.goal is Goal.WIN and turn.after.is_stalemate():
        slip, told = Slip.STALEMATE, f"Stalemate: {turn.other} is not in check and has no move."
    elif lost and lost != "pawn":
        slip, told = Slip.PIECE_LOST, f"{turn.other} can take the {lost}. {change}"
    else:
        slip = Slip.WIN_THROWN_AWAY if turn.goal is Goal.WIN else Slip.DRAW_THROWN_AWAY
        told = f"{turn.other} can take the pawn. {change}" if lost else change
    return slip, turn.told(told, _better(turn))


def _in_words(turn: Turn, outcome: Outcome) -> str:
    """What the outcome of a move of the student's is."""
    if outcome.result is Result.DRAW:
        return "a draw"
    if outcome.result is Result.WIN:
        return f"a mate in {outcome.moves}"
    return f"a lost game: {turn.other} mates in {outcome.moves}"


def _better(turn: Turn) -> JudgedMove:
    """The method's move if it is worth more than the move made, else a best one."""
    moves = (ruled.move for ruled in turn.ruled)
    made = worth(turn.played.outcome)
    return next((move for move in moves if worth(move.outcome) > made), turn.judged[0])


def _decisive_capture(turn: Turn) -> str:
    """The man whose capture takes the goal away, or ""."""
    after = turn.after.copy(stack=False)
    for reply in turn.after.generate_legal_captures():
        after.push(reply)
        if not reaches(turn.goal, probe(after)):
            return _taken(turn.after, reply)
        after.pop()
    return ""


def _taken(board: chess.Board, capture: chess.Move) -> str:
    return chess.piece_name(board.piece_type_at(capture.to_square) or chess.PAWN)


def _safe_move(turn: Turn) -> JudgedMove | None:
    """A best move that leaves no piece to be taken, if the move made is slower and leaves one."""
    if not turn.keeps or turn.is_best or turn.board.is_capture(turn.played.move):
        return None
    if not _lost_piece(turn.after):
        return None
    best = (judged for judged in turn.judged if judged.outcome == turn.before)
    return next((judged for judged in best if not _lost_piece(after_move(turn.board, judged.move))), None)


def _lost_piece(after: chess.Board) -> str:
    """A piece (no pawn) that can be taken at once and not retaken, or ""."""
    for reply in after.generate_legal_captures():
        taken = _taken(after, reply)
        retaken = after_move(after, reply)
        if taken != "pawn" and not any(move.to_square == reply.to_square for move in retaken.legal_moves):
            return taken
    return ""

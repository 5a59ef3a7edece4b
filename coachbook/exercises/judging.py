"""Judging a play-out: how it ended, what went well, and what the tables and the method say of each move."""

from collections.abc import Callable, Iterable, Sequence

import chess

from coachbook.endgame.material import UnknownEndingError
from coachbook.endgame.probe import Outcome, Result, probe
from coachbook.errors import Advice, CoachbookError
from coachbook.exercises.turns import Turn, find_slip, moves_off_method, reaches, student_turn
from coachbook.method.rules import Method
from coachbook.model.facts import PlayOutEnd
from coachbook.model.play_outs import JudgedPlayOut, PlayedMove
from coachbook.model.position import Position
from coachbook.model.syllabus import Goal

_MATE_AT_ONCE = Outcome(Result.WIN, 1)
_KEPT = {Goal.WIN: "the win", Goal.DRAW: "the draw"}


def find_praise(turns: Sequence[Turn]) -> PlayedMove | None:
    """The best moment; None if no move of the student's kept the goal in reach.

    The only move that kept it, of the most moves there were; else a mate at the first chance; else
    the longest run of moves by the method or of best moves; else of moves that kept the goal.
    """
    kept = [turn for turn in turns if turn.keeps]
    only = [turn for turn in kept if turn.keeping == 1 and len(turn.judged) > 1]
    if only:
        hardest = max(only, key=lambda turn: len(turn.judged))
        told = f"Of {len(hardest.judged)} moves, only this one keeps {_KEPT[hardest.goal]}."
        return hardest.told(told)
    chances = [turn for turn in turns if turn.before == _MATE_AT_ONCE]
    if chances and chances[0].after.is_checkmate():
        return chances[0].told("Mate, at the first chance.")
    return _praise_run(turns) if kept else None


def _praise_run(turns: Sequence[Turn]) -> PlayedMove:
    """The longest run of good moves, of at least one. There is a move that kept the goal."""
    # All moves that keep a draw are as good as each other.
    by_rule = _longest_run(turns, lambda turn: turn.keeps and turn.by_rule)
    quick = _longest_run(turns, lambda turn: turn.keeps and turn.is_best and turn.goal is Goal.WIN)
    if by_rule and len(by_rule) >= len(quick):
        return _tell_run(by_rule, "as the rule says")
    if quick:
        return _tell_run(quick, "as quick as can be")
    kept = f"keeping {_KEPT[turns[0].goal]}"
    return _tell_run(_longest_run(turns, lambda turn: turn.keeps), kept)


def _tell_run(run: Sequence[Turn], words: str) -> PlayedMove:
    first, last = run[0], run[-1]
    if len(run) > 1:
        moves = (
            f"{first.number} and {last.number}: both"
            if len(run) == 2
            else f"{first.number} to {last.number}: all"
        )
        return first.told(f"Moves {moves} {words}.")
    return first.told("Mate!" if first.after.is_checkmate() else f"{words[0].upper()}{words[1:]}.")


def _longest_run(turns: Sequence[Turn], good: Callable[[Turn], bool]) -> Sequence[Turn]:
    """The longest stretch of good moves, the first of equals; empty if there is none."""
    longest: Sequence[Turn] = ()
    start = 0
    for end, turn in enumerate(turns, start=1):
        if not good(turn):
            start = end
        elif end - start > len(longest):
            longest = turns[start:end]
    return longest


def judge_play_out(
    board: chess.Board, moves: Iterable[chess.Move], goal: Goal, allowance: int, method: Method | None
) -> JudgedPlayOut:
    """What to say of a game in which the student had the side to move in `board`.

    Everything said of a move is so by the tables; the method is asked where it is made for the
    position. Raises CoachbookError for a position that the tables don't know (not solved,
    castling) or that can't arise, and for a move that is not legal.
    """
    _check_known(board)
    game = board.copy(stack=False)
    game.fullmove_number = 1
    turns = _play(game, moves, goal, method)
    start, optimum = game.root(), probe(board)
    slip, first_slip = find_slip(turns)
    return JudgedPlayOut(
        start=Position(board.fen()),
        goal=goal,
        allowance=allowance,
        optimum=optimum.moves if reaches(Goal.WIN, optimum) else None,
        end=_end(game, board.turn, goal, len(turns) >= allowance),
        used=len(turns),
        line=start.variation_san(game.move_stack),
        moves=tuple(move.uci() for move in game.move_stack),
        slip=slip,
        first_slip=first_slip,
        off_method=moves_off_method(turns),
        praise=find_praise(turns),
        method_title=method.title if method and any(turn.ruled for turn in turns) else "",
    )


def _check_known(board: chess.Board) -> None:
    hint = "Log only how it ended, such as 'mated in 14'."
    if board.castling_rights or not board.is_valid():
        raise CoachbookError(f"'{board.fen()}' can't be judged: it is not legal, or allows castling.", hint)
    try:
        probe(board)
    except UnknownEndingError as error:
        can_be_built = isinstance(error.hint, Advice)
        raise CoachbookError(error.message, error.hint if can_be_built else hint) from error


def _play(
    game: chess.Board, moves: Iterable[chess.Move], goal: Goal, method: Method | None
) -> Sequence[Turn]:
    """Play the moves on the board; the student's turns. Raises CoachbookError for one that is not legal."""
    student, turns = game.turn, list[Turn]()
    for move in moves:
        if move not in game.legal_moves:
            side = "White" if game.turn else "Black"
            raise CoachbookError(f"Move {game.fullmove_number}, {side}: {move.uci()} is not a legal move.")
        if game.turn == student:
            turns.append(student_turn(len(turns) + 1, game.copy(stack=False), move, goal, method))
        game.push(move)
    return turns


def _end(game: chess.Board, student: chess.Color, goal: Goal, held_long: bool) -> PlayOutEnd:
    """How the game ended for the student, judged from where the moves stop.

    A draw by repetition or by fifty moves counts where the game stops with it: on who plays on
    nobody has claimed it. A game that stops else is drawn if the student has nothing left to mate
    with and the tables call it a draw, held if a draw was to be held and was for long enough. Any
    other has stopped; it is unfinished if by then the tables know that the goal was let go.
    """
    draw = PlayOutEnd.HELD if goal is Goal.DRAW else PlayOutEnd.DRAW
    if game.is_checkmate():
        return PlayOutEnd.LOST if game.turn == student else PlayOutEnd.MATE
    if game.is_stalemate():
        return PlayOutEnd.STALEMATE
    if game.is_insufficient_material() or game.is_repetition(3) or game.is_fifty_moves():
        return draw
    outcome = probe(game)
    drawn = outcome.moves is None
    lost = not drawn and reaches(Goal.WIN, outcome) == (game.turn != student)
    if goal is Goal.DRAW:
        still_there = PlayOutEnd.HELD if held_long else PlayOutEnd.STOPPED
        return PlayOutEnd.UNFINISHED if lost else still_there
    if drawn and game.has_insufficient_material(student):
        return PlayOutEnd.DRAW
    return PlayOutEnd.UNFINISHED if drawn or lost else PlayOutEnd.STOPPED
